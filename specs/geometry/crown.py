"""The arched face of a fingerboard: its radius along the board, how far it falls away, what it leaves under a slot."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt

from specs.document import Fingerboard
from specs.geometry.strings import Layout, travelled

TANG_MM = {"narrow": 1.4, "medium": 1.5, "jumbo": 1.6}
"""Depth of the fret wire's tang by wire size. **Source**: common practice; measure the wire in hand."""

SLOT_CLEARANCE_MM = 0.4
"""Air under the tang. **Source**: common practice."""

LEAST_RADIUS_MM = 100.0
"""The line of the radius is not carried below the smallest radius the spec admits, where a fan's ends overreach it."""

_GOLDEN = (sqrt(5) - 1) / 2
_COARSE_STEPS = 24
_REFINEMENTS = 28


def crown_drop_mm(radius_mm: float | None, width_mm: float) -> float:
    """How far a face of that radius lies lower at the edges than in the middle of that width, in mm; 0 if flat.

    A width past the whole circle drops by the radius. **Source**: plane geometry, s = r − √(r² − (w/2)²).
    """
    if radius_mm is None:
        return 0.0
    half_mm = min(width_mm / 2, radius_mm)
    return half_mm**2 / (radius_mm + sqrt((radius_mm - half_mm) * (radius_mm + half_mm)))


@dataclass(frozen=True)
class Crown:
    """Radii at nut and last fret in mm (None is flat) and the length between them along the centre line."""

    nut_mm: float | None
    end_mm: float | None
    length_mm: float

    def radius_mm(self, x_mm: float) -> float | None:
        """Radius at a distance from the nut along the centre line, None where the face is flat.

        Linear in the radius (common practice); from or to a flat end, where there is no radius to be linear in,
        linear in the curvature.
        """
        share = x_mm / self.length_mm
        if self.nut_mm is not None and self.end_mm is not None:
            return max(LEAST_RADIUS_MM, self.nut_mm + (self.end_mm - self.nut_mm) * share)
        flat_to_round = share if self.nut_mm is None else 1 - share
        sharper_mm = self.end_mm if self.nut_mm is None else self.nut_mm
        return None if sharper_mm is None or flat_to_round <= 0 else max(LEAST_RADIUS_MM, sharper_mm / flat_to_round)

    def drop_mm(self, x_mm: float, width_mm: float) -> float:
        """Crown drop over a width at a distance from the nut."""
        return crown_drop_mm(self.radius_mm(x_mm), width_mm)

    def bend_radius_mm(self, x_mm: float, slope: float) -> float | None:
        """Radius of the crown along a line of that slope across the board, r/cos²θ; None where flat."""
        radius_mm = self.radius_mm(x_mm)
        return None if radius_mm is None else radius_mm * (1 + slope**2)


def crown(board: Fingerboard, plan: Layout) -> Crown:
    """The face of a spec's fingerboard."""
    return Crown(board.radius_nut_mm, board.radius_end_mm, plan.line(board.frets).centre_mm)


def hump_mm(face: Crown, plan: Layout, frets: int) -> float:
    """Greatest rise in mm of the face under an outer string over its chord from nut to last fret; 0 if it never rises.

    This is what a linear radius costs against a true cone.
    """
    if face.nut_mm is None and face.end_mm is None:
        return 0.0
    return max(_hump_under_mm(face, plan, frets, run_mm, side) for run_mm, side in _outer(plan))


def _outer(plan: Layout) -> tuple[tuple[float, int], tuple[float, int]]:
    return (plan.bass_run_mm, -1), (plan.treble_run_mm, 1)


def _hump_under_mm(face: Crown, plan: Layout, frets: int, run_mm: float, side: int) -> float:
    end = travelled(frets)
    start_x = plan.line(0).slope * side * plan.nut_spread_mm / 2

    def drop(share: float) -> float:
        width_mm = plan.nut_spread_mm + (plan.bridge_spread_mm - plan.nut_spread_mm) * share
        return face.drop_mm(start_x + run_mm * share, width_mm)

    at_nut_mm, at_end_mm = drop(0), drop(end)

    def rise(share: float) -> float:
        return at_nut_mm + (at_end_mm - at_nut_mm) * share / end - drop(share)

    steps = [end * step / _COARSE_STEPS for step in range(_COARSE_STEPS + 1)]
    best = max(range(len(steps)), key=lambda step: rise(steps[step]))
    return max(0.0, _peak(rise, steps[max(0, best - 1)], steps[min(_COARSE_STEPS, best + 1)]))


def _peak(height: Callable[[float], float], low: float, high: float) -> float:
    """The greatest height between two places with one peak between them, by golden sections."""
    left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_left, at_right = height(left), height(right)
    for _ in range(_REFINEMENTS):
        if at_left >= at_right:
            high, right, at_right = right, left, at_left
            left = high - _GOLDEN * (high - low)
            at_left = height(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + _GOLDEN * (high - low)
            at_right = height(right)
    return max(at_left, at_right)


@dataclass(frozen=True)
class SlotDepth:
    """How deep to cut a fret slot at its deepest, in mm, and the least wood left under it in the finished board."""

    depth_mm: float
    wood_left_mm: float


def slot_depth_before_radius(tang_mm: float, drop_mm: float, thickness_mm: float, to_come_off_mm: float) -> SlotDepth:
    """Slot cut into the flat blank: tang, air, the wood still to come off at the centre and the crown's drop.

    ``thickness_mm`` is the finished board's at its centre. **Source**: common practice.
    """
    depth_mm = tang_mm + SLOT_CLEARANCE_MM + to_come_off_mm + drop_mm
    return SlotDepth(depth_mm, thickness_mm + to_come_off_mm - depth_mm)


def slot_depth_after_radius(tang_mm: float, drop_mm: float, thickness_mm: float) -> SlotDepth:
    """Slot whose floor follows the crown: tang and air everywhere; the least wood is at the edge.

    **Source**: common practice.
    """
    depth_mm = tang_mm + SLOT_CLEARANCE_MM
    return SlotDepth(depth_mm, thickness_mm - drop_mm - depth_mm)
