"""How values are shown: the only place where numbers are rounded for people."""

from __future__ import annotations

from datetime import date, datetime
from uuid import uuid4

from django import template
from django.template import Context
from django.utils import timezone
from django.utils.dates import MONTHS_3, WEEKDAYS_ABBR
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from shop.people.models import Units
from specs.drawings import bars
from specs.units import MM_PER_INCH, decimal_inches, inches, millimetres

register = template.Library()


@register.simple_tag
def press() -> SafeString:
    """The hidden press token of a form that writes."""
    return format_html('<input type="hidden" name="press" value="{}">', uuid4())


@register.filter
def word(value: str) -> str:
    """A word of the closed vocabularies in the reader's language."""
    return gettext(value) if value else ""


@register.filter
def fixed(value: float | None, places: int = 2) -> str:
    """A number with so many decimals; a dash where there is none."""
    return "–" if value is None else f"{value:.{int(places)}f}"


@register.filter
def signed(value: float | None, places: int = 2) -> str:
    """A number with its sign, as a scribe reads it."""
    return "–" if value is None else f"{value:+.{int(places)}f}"


@register.filter
def hours(value: float | None) -> str:
    """Hours of work: 0.75 h, 2.5 h, 70 h."""
    if value is None:
        return "–"
    return f"{value:.0f} h" if value >= 20 else f"{round(value, 2):g} h"


@register.filter
def day(value: date | datetime | None) -> str:
    """A date no country misreads: Tue 14 Apr 2026."""
    if value is None:
        return "–"
    local = timezone.localtime(value).date() if isinstance(value, datetime) else value
    return f"{WEEKDAYS_ABBR[local.weekday()]} {local.day:02d} {MONTHS_3[local.month].title()} {local.year}"


@register.filter
def moment(value: datetime | None) -> str:
    """A date with its time of day: Tue 14 Apr 2026 08:10."""
    return "–" if value is None else f"{day(value)} {timezone.localtime(value):%H:%M}"


@register.filter
def percent(part: float, whole: float) -> str:
    """A share of the whole from 0 to 100, for the length of a bar."""
    return f"{0 if not whole else min(100.0, 100 * part / whole):.1f}"


@register.filter
def share(part: float | None) -> str:
    """A share as people say it: 80 %."""
    return "–" if part is None else f"{100 * part:.0f} %"


@register.filter
def in_units(mm: float | None, units: str = "mm") -> str:
    """A length in the named units, as people write it: 939.8 mm, 37 in, 34 1/2 in."""
    if mm is None:
        return "–"
    return {"in": decimal_inches, "in64": inches}.get(units, millimetres)(mm)


@register.simple_tag
def bar(value: float, largest: float, label: str, mark: float | None = None) -> SafeString:
    """A bar as long as the value is of the largest in its column; ``mark`` is a stroke across it."""
    return mark_safe(bars.bar(value, largest, str(label), mark))


@register.simple_tag(takes_context=True)
def length(context: Context, mm: float | None, places: int = 2) -> str:
    """A length in the reader's units, with its unit: 863.60 mm, 34.000 in, 34 1/2 in."""
    if mm is None:
        return "–"
    match _units(context):
        case Units.INCH:
            return f"{mm / float(MM_PER_INCH):.{places + 1}f} in"
        case Units.INCH64:
            return inches(mm)
    return f"{mm:.{places}f} mm"


@register.simple_tag(takes_context=True)
def figure(context: Context, mm: float | None, places: int = 2) -> str:
    """A length in the reader's units as it stands in a column, its unit in the head."""
    return length(context, mm, places).removesuffix(" in").removesuffix(" mm")


@register.simple_tag(takes_context=True)
def unit(context: Context) -> str:
    """The unit of the reader's lengths, for the head of a column."""
    return "mm" if _units(context) == Units.MM else "in"


def _units(context: Context) -> str:
    return getattr(getattr(context.get("request"), "user", None), "units", Units.MM)
