"""The wood of neck, headstock and fingerboard as volumes with a centre: a round back under a flat board.

The section of the shaft is half an ellipse below the board, as wide as the board and as deep as ordered less the
board; the heel and a neck-through's core are blocks. **Source**: plane geometry; thicknesses common practice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import fsum, pi

from specs.derived import Derived
from specs.geometry.body import body_outline
from specs.geometry.headstock import headstock_length_mm, post_places
from specs.geometry.polygons import area_mm2, centre

HEEL_MM, CORE_OVER_MM, HEAD_MM, HEAD_OVER_MM, HEAD_SHAPE = 20.0, 18.0, 15.0, 45.0, 0.8
"""Heel's thickness under the board; a core wider than the board; headstock's thickness, how much wider than the nut,
and the share of its rectangle that its outline keeps. **Source**: common practice."""

STEPS = 16


@dataclass(frozen=True)
class Wood:
    """A piece of one wood: litres, x of its centre in mm, and the plank whose measured density it takes."""

    name: str
    plank: str
    wood: str
    litres: float
    x_mm: float


def board_wood(derived: Derived) -> Wood:
    """The fingerboard: its outline times its thickness, the crown's fall left out."""
    outline, board = derived.board.outline, derived.spec.fingerboard
    litres = abs(area_mm2(outline)) * board.thickness_mm / 1e6
    return Wood("fingerboard", "fingerboard", board.wood, litres, centre(outline)[0])


def neck_wood(derived: Derived) -> Iterator[Wood]:
    """The shaft from the nut to the joint, and behind it the heel of a bolted neck or the core through the body."""
    neck, board_mm = derived.spec.neck, derived.board.length_mm
    joint_mm = max(0.0, board_mm - neck.pocket_mm)
    litres, x_mm = _solid(lambda x: _section_mm2(derived, x), 0.0, joint_mm)
    yield Wood("neck", "neck", neck.wood, litres, x_mm)
    if neck.construction == "bolt-on":
        heel_l, heel_x = _solid(lambda x: width_mm(derived, x) * HEEL_MM, joint_mm, board_mm)
        yield Wood("heel", "neck", neck.wood, heel_l, heel_x)
        return
    tail_mm = max(x for x, _ in body_outline(derived).polygon())
    section = (derived.board.width_end_mm + CORE_OVER_MM) * derived.spec.body.thickness_mm
    core_l, core_x = _solid(lambda _: section, joint_mm, tail_mm)
    yield Wood("core", "neck", neck.wood, core_l, core_x)


def headstock_wood(derived: Derived) -> Wood | None:
    """The headstock; None on a headless neck."""
    posts = post_places(derived)
    if not posts:
        return None
    length_mm = headstock_length_mm(derived, posts)
    litres = length_mm * (derived.board.width_nut_mm + HEAD_OVER_MM) * HEAD_MM * HEAD_SHAPE / 1e6
    return Wood("headstock", "neck", derived.spec.neck.wood, litres, -length_mm / 2)


def width_mm(derived: Derived, x_mm: float) -> float:
    """Width of the board at an x, linear from nut to end."""
    board = derived.board
    return board.width_nut_mm + (board.width_end_mm - board.width_nut_mm) * x_mm / board.length_mm


def _section_mm2(derived: Derived, x_mm: float) -> float:
    """Half an ellipse under the board; depth linear through frets 1 and 12."""
    neck, strings = derived.spec.neck, derived.strings
    half_mm = (strings[0].scale_mm + strings[-1].scale_mm) / 4
    depth_mm = neck.depth_fret_1_mm + (neck.depth_fret_12_mm - neck.depth_fret_1_mm) * x_mm / half_mm
    below_mm = max(0.0, depth_mm - derived.spec.fingerboard.thickness_mm)
    return pi / 4 * width_mm(derived, x_mm) * below_mm


def _solid(section_mm2: Callable[[float], float], start_mm: float, end_mm: float) -> tuple[float, float]:
    """Litres between two x and x of the centre, by the middles of equal slices."""
    slice_mm = (end_mm - start_mm) / STEPS
    middles = [start_mm + slice_mm * (step + 0.5) for step in range(STEPS)]
    volume_mm3 = fsum(section_mm2(x) * slice_mm for x in middles)
    moment = fsum(section_mm2(x) * slice_mm * x for x in middles)
    return volume_mm3 / 1e6, moment / volume_mm3 if volume_mm3 else (start_mm + end_mm) / 2
