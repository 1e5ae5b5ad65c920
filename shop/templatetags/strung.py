"""How gauges are shown: in inches, as packets print them."""

from __future__ import annotations

from django import template

from shop.orders.string_choice import INCH_MM
from shop.orders.string_services import gauge_text

register = template.Library()


@register.filter
def gauge(gauge_in: float) -> str:
    """A gauge as it stands in a column: .130."""
    return gauge_text(gauge_in).removesuffix(" in")


@register.filter
def gauge_of_mm(gauge_mm: float) -> str:
    """The same of a gauge in mm."""
    return gauge(gauge_mm / INCH_MM)
