"""The screws of a bolted neck in plan: where their holes lie in the pocket, and how much wood the rod's channel leaves.

Places are the program's own: two rows along the neck, as far apart as ordered, from 15 mm behind the joint to 15 mm
before the board's end.
"""

from __future__ import annotations

from dataclasses import dataclass

from specs.derived import Derived, Point
from specs.geometry.neck import ROD_WIDTH_MM, rod_window
from specs.geometry.polygons import to_segment_mm

END_ROOM_MM = 15.0
"""Wood from the first and last hole to the joint and to the heel's end. **Source**: common practice."""

SCREW_HOLE_MM, INSERT_HOLE_MM, MACHINE_SCREWS = 5.0, 8.0, 5
"""Hole of a wood screw, hole of an M5 insert, and how many machine screws. **Source**: common practice."""


@dataclass(frozen=True)
class Hole:
    """One hole of the neck's screws: its centre and diameter in mm."""

    centre: Point
    diameter_mm: float


def bolt_holes(derived: Derived) -> tuple[Hole, ...]:
    """The holes, the row of the greater number on the bass side; none in a neck-through."""
    neck = derived.spec.neck
    if neck.construction != "bolt-on":
        return ()
    screws = neck.bolts[0].isdigit()
    count, hole_mm = (int(neck.bolts[0]), SCREW_HOLE_MM) if screws else (MACHINE_SCREWS, INSERT_HOLE_MM)
    bass = -1 if derived.strings[0].nut[1] < 0 else 1
    rows = ((count + 1) // 2, bass), (count // 2, -bass)
    return tuple(
        Hole((x, side * neck.bolt_rows_mm / 2), hole_mm) for holes, side in rows for x in _along(derived, holes)
    )


def _along(derived: Derived, holes: int) -> list[float]:
    end_mm = derived.board.length_mm - END_ROOM_MM
    start_mm = derived.board.length_mm - derived.spec.neck.pocket_mm + END_ROOM_MM
    return [start_mm + (end_mm - start_mm) * place / (holes - 1) for place in range(holes)]


def rod_to_bolts_mm(derived: Derived) -> float | None:
    """Least wood between the rod's channel and a screw hole, negative where they meet; None without screws."""
    rod = rod_window(derived)
    channel = (rod.start_mm, 0.0), (rod.end_mm, 0.0)
    gaps = [
        to_segment_mm(hole.centre, *channel) - (hole.diameter_mm + ROD_WIDTH_MM) / 2 for hole in bolt_holes(derived)
    ]
    return min(gaps, default=None)
