"""How the difference of two lengths is shown."""

from __future__ import annotations

from django import template
from django.template import Context

from shop.templatetags.shown import figure

register = template.Library()


@register.simple_tag(takes_context=True)
def more_length(context: Context, mm: float | None, places: int = 2) -> str:
    """How much longer, in the reader's units, with its sign; a dash where there is nothing to compare."""
    if mm is None:
        return "–"
    shown = figure(context, mm, places)
    return shown if shown.startswith("-") else f"+{shown}"
