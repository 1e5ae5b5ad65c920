"""Figures of wood that moves: how much body, top, board and neck grow between a dry and a damp room."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.derived import Derived
from specs.numbers.figure import Figure, Group, Place
from specs.wood.faces import seen_wood
from specs.wood.moisture import emc_pct
from specs.wood.movement import growth_mm, shrinkages

CELSIUS, DRY_RH_PCT, DAMP_RH_PCT = 21.0, 35.0, 55.0
"""The room: warm all year, dry in winter, damp in summer. **Source**: common practice."""

EQUATION = "USDA FPL, Wood Handbook, Eq 4-5"
CUTS = {"flat": "flat-sawn", "quarter": "quarter-sawn"}
NO_ROW = "no published movement of this wood and cut is in the shop's table"
NOTE = "Glue partners are joined when their last readings lie within 1.0 % of each other (common practice, no source)."


@dataclass(frozen=True)
class Panel:
    """A piece of one wood and its width across the grain in mm; ``cuts`` are those it may have."""

    key: str
    label: str
    wood: str
    width_mm: float
    cuts: tuple[str, ...] = ("flat", "quarter")

    def growth_mm(self, cut: str, from_pct: float, to_pct: float) -> float | None:
        """How much wider it gets; None where nothing was published."""
        try:
            return growth_mm(self.wood, cut, self.width_mm, from_pct, to_pct)
        except LookupError:
            return None


def movement(derived: Derived) -> Group:
    """The group of wood movement."""
    return Group("movement", "Wood from a dry to a damp room", tuple(_figures(derived)), note=NOTE)


def panels(derived: Derived) -> tuple[Panel, ...]:
    """What moves: the body, its top, the fingerboard, and each wood of the neck."""
    spec, end_mm = derived.spec, derived.board.width_end_mm
    top = Panel("top", "Top", seen_wood(spec), spec.body.width_mm)
    tops = (top,) if spec.body.top != "none" and spec.body.top_wood != "none" else ()
    grain = ("quarter",) if spec.neck.grain == "quarter-sawn" else ("flat",)
    necks = spec.neck.wood.split(" and ")
    return (
        Panel("body", "Body panel", spec.body.wood, spec.body.width_mm),
        *tops,
        Panel("board", "Fingerboard at its end", spec.fingerboard.wood, end_mm),
        *(Panel(f"neck_{wood.replace(' ', '_')}", "Neck at the board's end", wood, end_mm, grain) for wood in necks),
    )  # fmt: skip


def _figures(derived: Derived) -> Iterator[Figure]:
    dry_pct, damp_pct = (emc_pct(CELSIUS, rh_pct) for rh_pct in (DRY_RH_PCT, DAMP_RH_PCT))
    how = "moisture at which wood rests at 21 °C and 35 % of humidity"
    yield Figure("emc_dry_pct", "Moisture in the dry room", dry_pct, "%", how, EQUATION)
    how = "moisture at which wood rests at 21 °C and 55 % of humidity"
    yield Figure("emc_damp_pct", "Moisture in the damp room", damp_pct, "%", how, EQUATION)
    for panel in panels(derived):
        yield from (_growth(panel, cut, dry_pct, damp_pct) for cut in panel.cuts)
    yield _apart(derived, dry_pct, damp_pct)


def _growth(panel: Panel, cut: str, dry_pct: float, damp_pct: float) -> Figure:
    grown = panel.growth_mm(cut, dry_pct, damp_pct)
    label, lacking = f"{panel.label}, {CUTS[cut]}", NO_ROW if grown is None else ""
    how = "whole width as if of one wood: width, coefficient and change of moisture"
    return Figure(
        f"{panel.key}_{cut}_mm", label, grown, "mm", how, _source(panel.wood), Place(panel.wood), lacking=lacking
    )


def _source(wood: str) -> str:
    row = shrinkages().get(wood)
    return "USDA FPL, Wood Handbook, Eq 13-2 and 13-3" + (f"; {row.source}" if row else "")


def _apart(derived: Derived, dry_pct: float, damp_pct: float) -> Figure:
    """How much board and neck, glued over the same width, want to differ, whichever way the board is cut."""
    label, how = (
        "Board against neck, at most",
        "greatest difference of the two over the board's end, by any cut of the board",
    )
    board, *necks = (panel for panel in panels(derived) if panel.key.startswith(("board", "neck")))
    grown = [[panel.growth_mm(cut, dry_pct, damp_pct) for cut in panel.cuts] for panel in (board, *necks)]
    if any(one is None for each in grown for one in each):
        return Figure("apart_mm", label, None, "mm", how, "the rows above", lacking=NO_ROW)
    most = max(abs(one - other) for each in grown[1:] for one in grown[0] for other in each)
    return Figure("apart_mm", label, most, "mm", how, "the rows above")
