"""Where the screws of the bridge units go, from the unit in hand: along each string, behind its scale point."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from specs.derived import Derived, Point, String

PILOT_MM = 2.2
"""Pilot hole of a 3 mm wood screw in hardwood. **Source**: common practice; try it on an offcut."""


@dataclass(frozen=True)
class UnitScrew:
    """One screw: the trade number of its string, its centre, and the pilot hole, in mm."""

    string: int
    centre: Point
    diameter_mm: float = PILOT_MM


def unit_screws(derived: Derived) -> tuple[UnitScrew, ...]:
    """The screws of every unit, bass to treble; none until the unit has been measured."""
    bridge = derived.spec.bridge
    measured_mm = [place for place in (bridge.front_screw_mm, bridge.rear_screw_mm) if place is not None]
    return tuple(
        UnitScrew(string.number, _behind(string, place_mm)) for string in derived.strings for place_mm in measured_mm
    )


def _behind(string: String, distance_mm: float) -> Point:
    """The point that far past the scale point, in line with the string."""
    (x_nut, y_nut), (x_bridge, y_bridge) = string.nut, string.bridge
    share = distance_mm / hypot(x_bridge - x_nut, y_bridge - y_nut)
    return x_bridge + share * (x_bridge - x_nut), y_bridge + share * (y_bridge - y_nut)
