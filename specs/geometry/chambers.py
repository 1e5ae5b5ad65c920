"""The hollows inside a chambered body: their outlines, how much they take out, and the wood left round them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from specs.derived import Derived, Point
from specs.geometry.body import Control, body_outline, carves, frame
from specs.geometry.neck import finished_board
from specs.geometry.polygons import gap_mm, part_past
from specs.geometry.spline import ClosedCurve
from specs.wood.faces import top_thickness_mm

BACK_SKIN_MM = 9.0
"""Wood left at the back, 8 to 10 mm. **Source**: common practice."""

LEAST_RIM_MM, LEAST_BLOCK_MM, LEAST_BACK_MM, LEAST_OVER_MM = 10.0, 25.0, 8.0, 2.0
"""Least rim at the edge, wood round bridge and neck, back skin, and skin where a carve runs over a chamber.
**Source**: common practice."""

CHAMBERS: dict[str, tuple[Control, ...]] = {
    "bass side": (
        (1.26, -0.14, -1.20), (1.16, -0.36, -0.80), (1.32, -0.52, 0.00), (1.60, -0.60, 0.00), (1.88, -0.74, 0.00),
        (2.30, -0.80, 0.00), (2.66, -0.72, 0.00), (2.76, -0.44, -0.50), (2.40, -0.13, -1.10), (1.70, -0.13, -1.10),
    ),
    "treble side": (
        (1.48, 0.14, 1.10), (1.60, 0.14, 1.10), (1.94, 0.14, 1.10), (2.14, 0.40, 0.70), (2.08, 0.88, 0.00),
        (1.76, 0.84, 0.00), (1.54, 0.54, 0.00), (1.40, 0.50, 0.00), (1.36, 0.38, 0.50), (1.40, 0.16, 1.10),
    ),
}  # fmt: skip
"""Control polygons by place; the treble side keeps its lower bout for the controls. The program's own."""

POINTS_A_SPAN = 8


@dataclass(frozen=True)
class Chamber:
    """One hollow, cut from the face before the top goes on, or from the back under a cover where there is no top."""

    place: str
    curve: ClosedCurve
    depth_mm: float

    @property
    def volume_l(self) -> float:
        """Wood taken out, in litres."""
        return self.curve.area_mm2 * self.depth_mm / 1e6


@dataclass(frozen=True)
class Skins:
    """Least wood left round all chambers, in mm; ``over_mm`` is what a carve leaves over or under one, None if none
    runs over any."""

    top_mm: float
    back_mm: float
    rim_mm: float
    to_neck_mm: float
    to_bridge_mm: float
    over_mm: float | None

    @property
    def sound(self) -> bool:
        """Whether every one keeps to the shop's least."""
        left = (self.rim_mm, LEAST_RIM_MM), (self.to_neck_mm, LEAST_BLOCK_MM), (self.to_bridge_mm, LEAST_BLOCK_MM)
        skins = (self.back_mm, LEAST_BACK_MM), (LEAST_OVER_MM if self.over_mm is None else self.over_mm, LEAST_OVER_MM)
        return all(mm >= least_mm for mm, least_mm in (*left, *skins))


def chambers(derived: Derived) -> tuple[Chamber, ...]:
    """The hollows ordered; none in a solid body. **Source**: common practice, 0.6 to 1.0 litre in all."""
    if derived.spec.body.chambering == "solid":
        return ()
    placed, depth_mm = frame(derived), chamber_depth_mm(derived)
    return tuple(Chamber(place, placed.curve(controls), depth_mm) for place, controls in CHAMBERS.items())


def chamber_depth_mm(derived: Derived) -> float:
    """Depth from the core's face that leaves the back skin; never less than nothing."""
    return max(0.0, derived.spec.body.thickness_mm - top_thickness_mm(derived.spec) - BACK_SKIN_MM)


def chambered_l(derived: Derived) -> float:
    """Wood the chambers take out, in litres."""
    return sum(chamber.volume_l for chamber in chambers(derived))


def skins(derived: Derived) -> Skins | None:
    """The wood left round the chambers; None in a solid body."""
    hollows = [chamber.curve.polygon(POINTS_A_SPAN) for chamber in chambers(derived)]
    if not hollows:
        return None
    edge = body_outline(derived).polygon(POINTS_A_SPAN)
    bridge = [string.bridge for string in derived.strings]
    top_mm = top_thickness_mm(derived.spec)
    back_mm = derived.spec.body.thickness_mm - top_mm - chamber_depth_mm(derived)
    return Skins(
        top_mm,
        back_mm,
        min(gap_mm(hollow, edge) for hollow in hollows),
        min(gap_mm(hollow, finished_board(derived)) for hollow in hollows),
        min(gap_mm(hollow, bridge) for hollow in hollows),
        _least_over_mm(derived, hollows, {"face": top_mm, "back": back_mm}),
    )


COVER_MM = 3.0
"""Thickness of the back cover of a body chambered without a top. **Source**: common practice."""


def carved_skins_mm(derived: Derived) -> dict[str, float]:
    """Least skin over (``face``) and under (``back``) the chambers once carved, in mm; empty in a solid body.

    Without a top the chambers are cut from the back: the face keeps the skin, and ``cover`` is what a carve leaves of
    the back's cover. A carved top loses its depth everywhere.
    """
    hollows = [chamber.curve.polygon(POINTS_A_SPAN) for chamber in chambers(derived)]
    body, deepest = derived.spec.body, {"face": 0.0, "back": 0.0}
    for carve in carves(derived):
        under = (_shared(hollow, carve.line, carve.outline) for hollow in hollows)
        depths = (carve.depth_at_mm(point) for part in under for point in part)
        deepest[carve.face] = max(deepest[carve.face], *depths, 0.0)
    kept_mm = body.thickness_mm - top_thickness_mm(derived.spec) - chamber_depth_mm(derived)
    if not hollows:
        return {}
    if body.top == "none":
        return {"face": kept_mm - deepest["face"], "cover": COVER_MM - deepest["back"]}
    face_mm = top_thickness_mm(derived.spec) - max(deepest["face"], body.carve_depth_mm)
    return {"face": face_mm, "back": kept_mm - deepest["back"]}


def _least_over_mm(derived: Derived, hollows: Sequence[Sequence[Point]], skin_mm: dict[str, float]) -> float | None:
    """Skin left where a carve runs over a chamber, the carve taken as going on to the chamber's far side."""
    left = [
        skin_mm[carve.face] - max(map(carve.depth_at_mm, over))
        for carve in carves(derived)
        for over in (_shared(hollow, carve.line, carve.outline) for hollow in hollows)
        if over
    ]
    return min(left, default=None)


def _shared(hollow: Sequence[Point], line: tuple[Point, Point], outline: Sequence[Point]) -> tuple[Point, ...]:
    """The part of a chamber under a carve: past its line and between the carve's own ends."""
    xs = [x for x, _ in outline]
    start, end = min(xs), max(xs)
    past = part_past(hollow, line)
    for limit in (((start, 0.0), (start, 1.0)), ((end, 1.0), (end, 0.0))):
        past = part_past(past, limit)
    return past
