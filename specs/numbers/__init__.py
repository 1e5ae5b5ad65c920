"""Every further figure of an instrument, gathered by subject, each with its unit, how it was found and its limit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from specs.derived import Derived
from specs.errors import Refused
from specs.numbers.bending import bending
from specs.numbers.body import body
from specs.numbers.figure import Figure, Group
from specs.numbers.headstock import headstock
from specs.numbers.mass import mass
from specs.numbers.movement import movement
from specs.numbers.neck import neck
from specs.numbers.pickups import pickups

__all__ = ("Figure", "Group", "Numbers", "headlines", "numbers")

HEADLINES = {
    "mass": ("usual_kg", "ceiling", "balance_mm", "drops"),
    "headstock": ("turn_deg", "clearance_mm"),
    "pickups": ("free_treble_mm",),
    "neck": ("nut_slanted_mm", "wood_after_mm"),
}
"""The figures that decide early, by group."""


@dataclass(frozen=True)
class Numbers:
    """The groups in the order they are read."""

    groups: tuple[Group, ...]

    def __getitem__(self, key: str) -> Group:
        """The group of that key. Raises KeyError."""
        return {group.key: group for group in self.groups}[key]


def numbers(derived: Derived, *, densities: Mapping[str, float] | None = None) -> Numbers:
    """Every group of an instrument; what cannot be computed says why in its own place.

    ``densities`` are kg/m³ of planks weighed by hand, as ``specs.wood.parts.hang`` takes them.
    """
    return Numbers(
        (
            neck(derived),
            _told("headstock", "Headstock", lambda: headstock(derived)),
            _told("body", "Body", lambda: body(derived)),
            _told("mass", "Mass and balance", lambda: mass(derived, densities)),
            pickups(derived),
            movement(derived),
            _told("bending", "Neck under its strings", lambda: bending(derived)),
        )
    )


def headlines(derived: Derived, *, densities: Mapping[str, float] | None = None) -> tuple[tuple[str, Figure], ...]:
    """The few figures that decide early, each with its group: weight against an ordered ceiling, balance, the worst
    string path, the room for pickups, the slanted nut, the least wood under a slot; ``densities`` as above."""
    groups = Numbers(
        (
            _told("mass", "Mass and balance", lambda: mass(derived, densities)),
            _told("headstock", "Headstock", lambda: headstock(derived)),
            pickups(derived),
            neck(derived),
        )
    )
    wanted = ((groups[group], key) for group, keys in HEADLINES.items() for key in keys)
    found = ((group.key, figure) for group, key in wanted for figure in group.figures if figure.key == key)
    return tuple((group, figure) for group, figure in found if figure.limit or figure.key != "usual_kg")


def _told(key: str, title: str, made: Callable[[], Group]) -> Group:
    """The group, or why there is none."""
    try:
        return made()
    except Refused as refused:
        return Group(key, title, lacking=tuple(problem.message for problem in refused.problems))
