"""How values are shown on paper: where a line leans, how much to take."""

from __future__ import annotations

from typing import Any

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


@register.filter
def plainly(value: Any) -> str:
    """A value of a spec document as a change list says it; lengths in mm."""
    if isinstance(value, list):
        return ", ".join(map(plainly, value))
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, float):
        return f"{value:.3f}".rstrip("0").rstrip(".")
    return "–" if value in (None, "") else _(str(value))
