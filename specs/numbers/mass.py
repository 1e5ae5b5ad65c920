"""Figures of mass and balance: what the finished instrument weighs, where it hangs level, which end drops."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from specs.derived import Derived
from specs.numbers.figure import AT_MOST, PRACTICE, Column, Figure, Group, Limit, Table
from specs.wood.mass import SOURCE, forecast_of
from specs.wood.parts import Hang, hang

DROPS = {"neck": "the neck drops", "body": "the body drops", "level": "hangs level"}
NOTE = "A forecast: species averages are off by 15 %. Weigh the planks and the parts in hand."
CENTRE = "centre of mass of the parts; their masses as above"


def mass(derived: Derived, densities: Mapping[str, float] | None = None) -> Group:
    """The group of mass and balance. Raises Refused where body or headstock cannot be drawn."""
    hanging = hang(derived, densities)
    figures = (*_masses(derived, hanging), *_balance(hanging))
    return Group("mass", "Mass and balance", figures, (_table(hanging),), NOTE)


def _masses(derived: Derived, hanging: Hang) -> Iterator[Figure]:
    told, ceiling = forecast_of(hanging), derived.spec.body.weight_ceiling_kg
    limit = None if ceiling is None else Limit(AT_MOST, ceiling)
    yield Figure("low_kg", "Weight, at least", told.low_kg, "kg", "every part at its lightest, without case", SOURCE)
    how = "every part as usual, without case; the ceiling is the order's"
    yield Figure("usual_kg", "Weight, usually", told.usual_kg, "kg", how, SOURCE, limit=limit)
    yield Figure("high_kg", "Weight, at most", told.high_kg, "kg", "every part at its heaviest, without case", SOURCE)
    if ceiling is not None:
        how = "the ceiling of the order against the least, the usual and the greatest weight"
        yield Figure("ceiling", "Against the ceiling", told.against(ceiling), "", how, SOURCE)
    yield Figure("body_kg", "Bare body", told.body_kg, "kg", "body, top and core as usual, cavities cut", SOURCE)


def _balance(hanging: Hang) -> Iterator[Figure]:
    low, high = hanging.x_mm
    yield Figure("balance_mm", "Balance point", hanging.usual.x_mm, "mm", "along the centre line from the nut", CENTRE)
    how = "its place if the parts before it were at their heaviest and those past it at their lightest, or the reverse"
    yield Figure("balance_low_mm", "Balance point, nearest the nut", low, "mm", how, CENTRE)
    yield Figure("balance_high_mm", "Balance point, nearest the bridge", high, "mm", how, CENTRE)
    button = hanging.buttons[0][0]
    yield Figure("button_mm", "Strap button at the horn", button, "mm", "tip of the horn, from the nut", "the drawing")
    how = "the neck where the balance point lies before the button of the horn, the body where past the one at the tail"
    yield Figure("drops", "On the strap", DROPS[hanging.usual.drops], "", how, PRACTICE)


def _table(hanging: Hang) -> Table:
    columns = (
        Column("Part"), Column("At least", "kg"), Column("Usually", "kg"), Column("At most", "kg"),
        Column("Centre, from the nut", "mm"),
    )  # fmt: skip
    return Table("parts", "Part by part", columns, tuple(
        (part.name, part.low_kg, part.usual_kg, part.high_kg, part.x_mm) for part in hanging.parts
    ))  # fmt: skip
