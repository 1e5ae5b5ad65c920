"""How values are shown: the only place where numbers are rounded for people."""

from __future__ import annotations

from datetime import date, datetime
from uuid import uuid4

from django import template
from django.utils import timezone
from django.utils.dates import MONTHS_3, WEEKDAYS_ABBR
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

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
