"""How values are shown on paper: where a line leans, how much to take."""

from __future__ import annotations

from django import template
from django.utils.translation import gettext as _

register = template.Library()


@register.filter
def toward(leaning: str) -> str:
    """Where the treble end of a line lies, in one word."""
    return {"toward the bridge": _("bridge"), "toward the nut": _("nut")}.get(leaning, _("square"))


@register.filter
def quantity(value: float, unit: str) -> str:
    """How much to take, with at most two decimals and no idle zeros: 1 piece, 5 pieces, 1.77 m."""
    number = f"{value:.2f}".rstrip("0").rstrip(".")
    return f"{number} {_('piece') if (number, unit) == ('1', 'pieces') else _(unit)}"
