"""The body in plan and depth: its outline around the ordered strings, its area and volume, and its carves.

Shapes are the program's own. A control point stands at ``along``: 0 at fret 12, 1 at the neck joint, 2 at the middle of
the bridge line, 3 behind it; and across: ``half`` in half widths and ``neck`` in half widths of the neck, negative on
the bass side. Volumes leave out pickup, control and neck cavities; a carved top counts as flat.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import pi

from specs.derived import Derived, Point
from specs.errors import Refused
from specs.geometry.polygons import area_mm2, centre, part_past, past_mm, perimeter_mm
from specs.geometry.spline import ClosedCurve

Control = tuple[float, float, float]

SHAPES: dict[str, tuple[Control, ...]] = {
    "slanted tail": (
        (1.00, 0.00, -0.90), (1.13, -0.06, -1.10), (1.12, -0.24, -1.00), (0.72, -0.38, -0.90), (0.18, -0.50, -1.00),
        (-0.09, -0.72, -0.80), (0.02, -1.00, 0.00), (0.50, -1.00, 0.00), (1.05, -0.64, 0.00), (1.40, -0.62, 0.00),
        (1.80, -0.98, 0.00), (2.25, -1.08, 0.00), (2.80, -0.84, 0.00), (3.08, -0.36, 0.00), (2.92, 0.18, 0.00),
        (2.50, 0.72, 0.00), (2.08, 1.10, 0.00), (1.72, 1.00, 0.00), (1.45, 0.60, 0.00), (1.22, 0.66, 0.00),
        (0.95, 0.98, 0.00), (0.62, 0.94, 0.00), (0.58, 0.58, 0.80), (0.95, 0.36, 0.90), (1.26, 0.26, 1.00),
        (1.27, 0.06, 1.10), (1.00, 0.00, 0.90),
    ),
    "round tail": (
        (1.00, 0.00, -0.90), (1.13, -0.06, -1.10), (1.12, -0.26, -1.00), (0.72, -0.36, -0.90), (0.18, -0.44, -1.00),
        (-0.09, -0.66, -0.80), (0.02, -0.97, 0.00), (0.55, -1.04, 0.00), (1.10, -0.72, 0.00), (1.42, -0.72, 0.00),
        (1.78, -1.04, 0.00), (2.25, -1.08, 0.00), (2.80, -0.85, 0.00), (3.08, -0.30, 0.00), (3.08, 0.30, 0.00),
        (2.75, 0.92, 0.00), (2.20, 1.10, 0.00), (1.85, 0.98, 0.00), (1.52, 0.70, 0.00), (1.25, 0.78, 0.00),
        (0.92, 1.02, 0.00), (0.60, 0.92, 0.00), (0.56, 0.55, 0.80), (0.95, 0.36, 0.90), (1.26, 0.28, 1.00),
        (1.27, 0.06, 1.10), (1.00, 0.00, 0.90),
    ),
}  # fmt: skip
"""Control polygons by name, once round from the bass side of the neck."""

BEHIND_BRIDGE_MM = 88.0
FINE = 64
KEPT = 8
"""How many instruments' sizes are kept while one is asked about again and again."""

FOREARM_MM, BELLY_MM, HEEL_MM = 10.0, 14.0, 10.0
"""Greatest depths of the carves. **Source**: common practice."""

OVER_CHAMBERS_MM = {"forearm": 7.0, "belly": 10.0}
"""Greatest depths in a body with chambers under them. **Source**: common practice."""

EDGE_SHARE = {"round-over": 1 - pi / 4, "bevel": 0.5, "natural-edge": 0.0, "bound": 0.0}
"""What an edge loses of the square of its radius. **Source**: plane geometry."""


@dataclass(frozen=True)
class Frame:
    """Where a shape's control points lie on one instrument, in mm; ``bass`` is the sign of the bass side's y."""

    stations_mm: tuple[float, float, float, float]
    half_mm: float
    neck_half_mm: float
    bass: int

    def at(self, control: Control) -> Point:
        """The place of a control point."""
        along, half, neck = control
        station = max(0, min(2, int(along // 1)))
        start, end = self.stations_mm[station : station + 2]
        y = half * self.half_mm + neck * self.neck_half_mm
        return start + (along - station) * (end - start), -self.bass * y

    def curve(self, controls: Sequence[Control]) -> ClosedCurve:
        """The closed curve of a shape, counter-clockwise on either hand."""
        placed = tuple(map(self.at, controls))
        return ClosedCurve(placed if self.bass < 0 else placed[::-1])


def frame(derived: Derived) -> Frame:
    """The frame in which the ordered shape gets the ordered body width. Raises Refused where the joint does not lie
    between fret 12 and the bridge."""
    board, spec = derived.board, derived.spec
    joint_mm = board.length_mm - spec.neck.pocket_mm
    bridge_mm = (derived.strings[0].bridge[0] + derived.strings[-1].bridge[0]) / 2
    stations = bridge_mm / 2, joint_mm, bridge_mm, bridge_mm + BEHIND_BRIDGE_MM
    if list(stations) != sorted(stations):
        raise Refused.one("neck.pocket", "joint-off-body", "the neck must join past fret 12: change frets or pocket")
    widening = (board.width_end_mm - board.width_nut_mm) * joint_mm / board.length_mm
    bass = -1 if derived.strings[0].nut[1] < 0 else 1
    return Frame(stations, spec.body.width_mm / _width(spec.body.shape), (board.width_nut_mm + widening) / 2, bass)


@lru_cache
def _width(shape: str) -> float:
    """Width of the shape's curve in half widths; its widest places have no share of the neck."""
    across = [y for _, y in ClosedCurve(tuple((along, half) for along, half, _ in SHAPES[shape])).polygon(FINE)]
    return max(across) - min(across)


def body_outline(derived: Derived) -> ClosedCurve:
    """The outline around the ordered strings, in mm of the instrument, as wide as ordered."""
    return frame(derived).curve(SHAPES[derived.spec.body.shape])


@dataclass(frozen=True)
class Carve:
    """A flat cut off one face: nothing at its line, deepest where its outline lies furthest past it, in mm."""

    name: str
    face: str
    line: tuple[Point, Point]
    outline: tuple[Point, ...]
    depth_mm: float

    def depth_at_mm(self, point: Point) -> float:
        """Depth of the cut's plane at a point; 0 before the line."""
        reach_mm = max(past_mm(self.line, corner) for corner in self.outline)
        return max(0.0, past_mm(self.line, point)) * self.depth_mm / reach_mm

    @cached_property
    def removed_mm3(self) -> float:
        """Wood removed: the area times the depth at its centre, exact for a plane."""
        return area_mm2(self.outline) * self.depth_at_mm(centre(self.outline))


@dataclass(frozen=True)
class Cut:
    """How a carve is laid out in a shape's frame: the wood to the right of the line goes, between two stations."""

    face: str
    line: tuple[Control, Control]
    stations: tuple[float, float]
    depth_mm: float


CUTS = {
    "forearm": Cut("face", ((1.55, -0.72, 0.0), (2.95, -0.62, 0.0)), (1.50, 3.20), FOREARM_MM),
    "belly": Cut("back", ((0.90, -0.46, 0.0), (1.90, -0.54, 0.0)), (0.95, 1.95), BELLY_MM),
    "heel": Cut("back", ((1.40, 0.00, 0.4), (0.90, 0.00, 0.4)), (0.95, 1.33), HEEL_MM),
}
"""**Source**: common practice for the depths; the lines are the program's own and are faired by hand."""


def carves(derived: Derived) -> tuple[Carve, ...]:
    """The carves ordered."""
    body, placed = derived.spec.body, frame(derived)
    ordered = {"forearm": body.forearm == "carved", "belly": body.belly, "heel": body.heel}
    outline = body_outline(derived).polygon()
    shallower = {} if body.chambering == "solid" else OVER_CHAMBERS_MM
    return tuple(
        _carve(name, placed, outline, shallower.get(name, CUTS[name].depth_mm))
        for name, wanted in ordered.items()
        if wanted
    )


@lru_cache(maxsize=64)
def _carve(name: str, placed: Frame, outline: tuple[Point, ...], depth_mm: float) -> Carve:
    cut = CUTS[name]
    ends = tuple(map(placed.at, cut.line))
    line = (ends[0], ends[1]) if placed.bass < 0 else (ends[1], ends[0])
    start, end = (placed.at((along, 0.0, 0.0))[0] for along in cut.stations)
    limits = ((start, 0.0), (start, 1.0)), ((end, 1.0), (end, 0.0))
    kept = part_past(outline, line)
    for limit in limits:
        kept = part_past(kept, limit)
    return Carve(name, cut.face, line, kept, depth_mm)


@dataclass(frozen=True)
class BodySize:
    """The bare solid body: plan area, length, width, thickness, and litres, with what edges and carves take off."""

    area_mm2: float
    length_mm: float
    width_mm: float
    thickness_mm: float
    edges_l: float
    carves_l: float
    volume_l: float


@lru_cache(maxsize=KEPT)
def body_size(derived: Derived) -> BodySize:
    """Sizes of the body before any cavity is cut.

    **Source**: plane geometry; an edge's section times the length round, a little much where the outline turns tightly.
    """
    body, curve = derived.spec.body, body_outline(derived)
    outline = curve.polygon()
    xs, ys = zip(*outline, strict=True)
    edges_mm3 = 2 * EDGE_SHARE[body.edge] * body.edge_radius_mm**2 * perimeter_mm(outline)
    carves_mm3 = sum(carve.removed_mm3 for carve in carves(derived))
    full_mm3 = curve.area_mm2 * body.thickness_mm
    return BodySize(
        curve.area_mm2, max(xs) - min(xs), max(ys) - min(ys), body.thickness_mm,
        edges_mm3 / 1e6, carves_mm3 / 1e6, (full_mm3 - edges_mm3 - carves_mm3) / 1e6,
    )  # fmt: skip
