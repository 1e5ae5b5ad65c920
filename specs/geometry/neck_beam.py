"""How far a neck bends under its strings, taken as a simple beam: an estimate to compare necks by, not a promise.

Limits: one stiffness all through, straight grain, a uniform section, a rigid joint to the body, the moment of the open
strings only; no rod, bars, frets, glue lines, creep or moisture. A real neck bends less at first and more with years.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from specs.derived import Derived
from specs.errors import Refused

FRET_HEIGHT_MM = 1.1
"""Height of medium wire over the board. **Source**: common practice."""


@dataclass(frozen=True)
class Case:
    """Coefficients of one way to load and hold a beam: of its bending, and of its shear."""

    bending: float
    shear: float


CASES = {
    "uniform, both ends resting": Case(5 / 384, 1 / 8),
    "uniform, both ends held": Case(1 / 384, 1 / 8),
    "middle load, both ends resting": Case(1 / 48, 1 / 4),
    "middle load, both ends held": Case(1 / 192, 1 / 4),
    "uniform, one end held": Case(1 / 8, 1 / 2),
    "end load, one end held": Case(1 / 3, 1.0),
}
"""**Source**: Wood Handbook FPL-GTR-190, Table 9-1."""


@dataclass(frozen=True)
class Section:
    """A cross-section: second moment of area, area that carries shear, distance of the flat face to the axis."""

    inertia_mm4: float
    shear_area_mm2: float
    face_to_axis_mm: float


def rectangle(width_mm: float, depth_mm: float) -> Section:
    """A rectangle on its flat.

    **Source**: Wood Handbook Eq 9-3, I = b·h³/12, and Eq 9-4 (from memory), A' = 5·b·h/6.
    """
    return Section(width_mm * depth_mm**3 / 12, 5 / 6 * width_mm * depth_mm, depth_mm / 2)


def half_ellipse(width_mm: float, depth_mm: float) -> Section:
    """A neck's round back under a flat face: half an ellipse of that full width and depth.

    I = (π/8 − 8/(9π))·a·b³ about its own axis, 4b/(3π) from the flat. **Source**: section property, from memory; the
    shear area counts as 5/6 of the area, as a rectangle's (common practice).
    """
    half_mm = width_mm / 2
    return Section(
        (pi / 8 - 8 / (9 * pi)) * half_mm * depth_mm**3, 5 / 6 * pi / 2 * half_mm * depth_mm, 4 * depth_mm / (3 * pi)
    )


def deflection_mm(
    load_n: float, length_mm: float, section: Section, case: Case, moe_mpa: float, shear_mpa: float | None = None
) -> float:
    """Deflection under a **total** load, k_b·W·L³/(E·I) + k_s·W·L/(G·A'); without a shear modulus bending alone.

    **Source**: Wood Handbook Eq 9-2.
    """
    bending_mm = case.bending * load_n * length_mm**3 / (moe_mpa * section.inertia_mm4)
    shear_mm = 0.0 if shear_mpa is None else case.shear * load_n * length_mm / (shear_mpa * section.shear_area_mm2)
    return bending_mm + shear_mm


def end_moment_tip_mm(moment_nmm: float, length_mm: float, section: Section, moe_mpa: float) -> float:
    """How far the free end of a held beam moves under a moment there, M·L²/(2·E·I). **Source**: mechanics text, from
    memory."""
    return moment_nmm * length_mm**2 / (2 * moe_mpa * section.inertia_mm4)


@dataclass(frozen=True)
class NeckBow:
    """The estimate: pull and its lever, free length from the nut to the joint, movement of the nut, bow in between.

    Movement and bow are None where nobody says how stiff the wood is.
    """

    pull_n: float
    lever_mm: float
    free_mm: float
    tip_mm: float | None
    relief_mm: float | None
    """Gap in the middle under a straight edge laid from the nut to the joint: M·L²/(8·E·I)."""


def neck_bow(derived: Derived, moe_mpa: float | None) -> NeckBow:
    """The bow of the free neck of a wood that stiff under all its strings, without rod or bars, in mm.

    The section is half an ellipse, as wide as the board half-way along the free length and as deep as the mean of the
    ordered depths; the strings pull along it, their height over the face half-way from nut to fret 12. Raises Refused
    where the pocket leaves no free neck. **Source**: Wood Handbook Eq 9-2; common practice for what is left out.
    """
    neck, board = derived.spec.neck, derived.board
    free_mm = board.length_mm - neck.pocket_mm
    if free_mm <= 0:
        raise Refused.one("neck.pocket", "no-free-neck", "the pocket is longer than the board: shorten it")
    share = free_mm / 2 / board.length_mm
    width_mm = board.width_nut_mm + (board.width_end_mm - board.width_nut_mm) * share
    section = half_ellipse(width_mm, (neck.depth_fret_1_mm + neck.depth_fret_12_mm) / 2)
    lever_mm = section.face_to_axis_mm + FRET_HEIGHT_MM + _string_height_mm(derived)
    pull_n = derived.tension.total_n
    if moe_mpa is None:
        return NeckBow(pull_n, lever_mm, free_mm, None, None)
    tip_mm = end_moment_tip_mm(pull_n * lever_mm, free_mm, section, moe_mpa)
    return NeckBow(pull_n, lever_mm, free_mm, tip_mm, tip_mm / 4)


def _string_height_mm(derived: Derived) -> float:
    """Mean height of the strings over the frets, a quarter of the way from nut to bridge."""
    action = derived.spec.action
    saddle_mm = sum(action.h_saddle_mm) / len(action.h_saddle_mm)
    return action.h_nut_mm + (saddle_mm - action.h_nut_mm) / 4
