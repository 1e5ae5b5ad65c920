"""How the further numbers of an instrument are shown: value and unit as the reader keeps them, tables cell by cell."""

from __future__ import annotations

from typing import Any

from django import template
from django.template import Context
from django.utils.translation import gettext

from shop.templatetags.shown import figure as column_figure
from shop.templatetags.shown import length
from specs.numbers import Figure
from specs.numbers.figure import Cell, Limit, Table

register = template.Library()

PLACES = {"°": 1, "%": 1, "kg": 2, "l": 2, "N": 0, "MPa": 0, "cm²": 0}
PLACES_MM = {"body": 1, "mass": 0}
"""Geometry to 0.01 mm, wood to 0.1 mm, a balance point to 1 mm."""


@register.simple_tag(takes_context=True)
def shown(context: Context, value: Cell, unit: str, group: str = "") -> str:
    """A value with its unit, a word in the reader's language, or a dash."""
    if value is None or isinstance(value, str):
        return gettext(value) if value else "–"
    if unit == "mm":
        return length(context, value, PLACES_MM.get(group, 2))
    return _number(value, unit) + (unit if unit == "°" else f" {unit}")


@register.simple_tag(takes_context=True)
def cell(context: Context, value: Cell, unit: str, group: str = "") -> str:
    """A value as it stands in a column whose head carries the unit."""
    if value is None or isinstance(value, str):
        return gettext(value) if value else "–"
    return column_figure(context, value, PLACES_MM.get(group, 2)) if unit == "mm" else _number(value, unit)


@register.simple_tag(takes_context=True)
def bound(context: Context, limit: Limit, unit: str, group: str = "") -> str:
    """A limit in words: at least 2.50 mm."""
    return f"{gettext(limit.word)} {shown(context, limit.value, unit, group)}"


@register.filter
def cells(table: Table) -> list[list[tuple[Cell, str]]]:
    """The rows of a table, each cell with the unit of its column."""
    return [list(zip(row, (column.unit for column in table.columns), strict=True)) for row in table.rows]


@register.inclusion_tag("orders/_numbers.html", takes_context=True)
def numbers_in_brief(context: Context, figures: tuple[tuple[str, Figure], ...]) -> dict[str, Any]:
    """The few figures that decide early."""
    return {"figures": figures, "request": context.get("request")}


def _number(value: float, unit: str) -> str:
    """Counts as they are, the rest with its unit's decimals; no minus before a nought."""
    if isinstance(value, int):
        return str(value)
    return f"{value:z.{PLACES.get(unit, 2)}f}"
