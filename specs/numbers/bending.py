"""Figures of the free neck under the pull of its strings, taken as a simple beam."""

from __future__ import annotations

from collections.abc import Iterator

from specs.derived import Derived
from specs.geometry.neck_beam import NeckBow, neck_bow
from specs.numbers.figure import GEOMETRY, PRACTICE, Figure, Group, Place
from specs.wood.stiffness import Stiffness, stiffness

BEAM = "USDA FPL, Wood Handbook, Eq 9-2; end-moment case from memory; the modulus as above"
UNKNOWN = "nobody publishes how stiff this wood is: bend a stick of it beside one of maple"
NOTE = (
    "An estimate to compare necks by, not a promise: one stiffness all through, a uniform half-elliptic section, a "
    "rigid joint, open strings; no rod, bars, frets, glue lines, creep or moisture. A real neck bends less at first "
    "and more with years; its rod takes the rest."
)


def bending(derived: Derived) -> Group:
    """The group of the neck as a beam. Raises Refused where the pocket leaves no free neck."""
    wood = derived.spec.neck.wood
    known = stiffness(wood)
    bow = neck_bow(derived, known and known.moe_mpa)
    return Group("bending", "Neck under its strings", (_modulus(wood, known), *_figures(bow)), note=NOTE)


def _modulus(wood: str, known: Stiffness | None) -> Figure:
    how = "modulus of elasticity along the grain at 12 % moisture; of a laminate the mean of its woods"
    label, place = "Stiffness of the wood", Place(wood)
    if known is None:
        return Figure("moe_mpa", label, None, "MPa", how, "", place, lacking=UNKNOWN)
    return Figure("moe_mpa", label, known.moe_mpa, "MPa", how, known.source, place)


def _figures(bow: NeckBow) -> Iterator[Figure]:
    lacking = UNKNOWN if bow.tip_mm is None else ""
    yield Figure(
        "pull_n", "Pull of the strings", bow.pull_n, "N", "sum of the tensions at pitch", "Mersenne's law, SI form"
    )
    how = "from the section's axis to the mean height of the strings"
    yield Figure("lever_mm", "Lever of the pull", bow.lever_mm, "mm", how, PRACTICE)
    yield Figure("free_mm", "Free neck", bow.free_mm, "mm", "from the nut to the joint", GEOMETRY)
    yield Figure(
        "tip_mm", "The nut rises", bow.tip_mm, "mm", "free end of a held beam under a moment", BEAM, lacking=lacking
    )
    how = "gap in the middle under a straight edge from nut to joint, a quarter of the rise"
    yield Figure("relief_mm", "Bow without a rod", bow.relief_mm, "mm", how, BEAM, lacking=lacking)
