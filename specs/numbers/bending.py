"""Figures of the free neck under the pull of its strings, taken as a simple beam."""

from __future__ import annotations

from collections.abc import Iterator

from specs.derived import Derived
from specs.geometry.neck_beam import HARD_MAPLE_MPA, NeckBow, neck_bow
from specs.numbers.figure import GEOMETRY, PRACTICE, Figure, Group

BEAM = "USDA FPL, Wood Handbook, Eq 9-2; end-moment case from memory; modulus of hard maple, Table 5-3b"
NOTE = (
    "An estimate to compare necks by, not a promise: hard maple all through, a uniform half-elliptic section, a rigid "
    "joint, open strings; no rod, bars, frets, glue lines, creep or moisture. A real neck bends less at first and more "
    "with years; its rod takes the rest."
)


def bending(derived: Derived) -> Group:
    """The group of the neck as a beam. Raises Refused where the pocket leaves no free neck."""
    return Group("bending", "Neck under its strings", tuple(_figures(neck_bow(derived, HARD_MAPLE_MPA))), note=NOTE)


def _figures(bow: NeckBow) -> Iterator[Figure]:
    yield Figure(
        "pull_n", "Pull of the strings", bow.pull_n, "N", "sum of the tensions at pitch", "Mersenne's law, SI form"
    )
    how = "from the section's axis to the mean height of the strings"
    yield Figure("lever_mm", "Lever of the pull", bow.lever_mm, "mm", how, PRACTICE)
    yield Figure("free_mm", "Free neck", bow.free_mm, "mm", "from the nut to the joint", GEOMETRY)
    yield Figure("tip_mm", "The nut rises", bow.tip_mm, "mm", "free end of a held beam under a moment", BEAM)
    how = "gap in the middle under a straight edge from nut to joint, a quarter of the rise"
    yield Figure("relief_mm", "Bow without a rod", bow.relief_mm, "mm", how, BEAM)
