"""The table of saddles on an order's page."""

from __future__ import annotations

from typing import Any

from django import template
from django.template import Context

from routing.measured import measured_setbacks
from shop.orders.saddle_rows import saddle_rows
from specs.derived import Derived
from specs.models import Spec
from specs.released import instrument

register = template.Library()


@register.inclusion_tag("orders/_saddles.html", takes_context=True)
def saddles(context: Context, spec: Spec, derived: Derived | None) -> dict[str, Any]:
    """The saddles as stored of a released revision, as computed now of an open one; nothing without an instrument."""
    return _rows(context, spec, derived)


@register.inclusion_tag("orders/_saddles_in_brief.html", takes_context=True)
def saddles_in_brief(context: Context, spec: Spec, derived: Derived | None) -> dict[str, Any]:
    """The same beside an order as it is typed, in fewer columns."""
    return _rows(context, spec, derived)


def _rows(context: Context, spec: Spec, derived: Derived | None) -> dict[str, Any]:
    made = instrument(spec) if spec.is_released else derived
    rows = saddle_rows(made, measured_setbacks(made)) if made else ()
    return {"saddles": rows, "request": context.get("request")}
