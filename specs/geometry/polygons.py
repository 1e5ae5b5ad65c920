"""Closed polygons as rows of corners: area, centre, length round, the part past a line, the gap between two."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain
from math import fsum, hypot

from specs.derived import Point

Polygon = Sequence[Point]


def sides(polygon: Polygon) -> Iterator[tuple[Point, Point]]:
    """The sides, the last back to the first corner."""
    return zip(polygon, (*polygon[1:], *polygon[:1]), strict=True)


def area_mm2(polygon: Polygon) -> float:
    """Area, positive counter-clockwise. **Source**: the shoelace formula."""
    return fsum(x * v - u * y for (x, y), (u, v) in sides(polygon)) / 2


def centre(polygon: Polygon) -> Point:
    """Centre of the area. **Source**: the shoelace formula's first moments; needs an area."""
    crossed = [(one, other, one[0] * other[1] - other[0] * one[1]) for one, other in sides(polygon)]
    six_areas = 3 * fsum(cross for _, _, cross in crossed)
    x, y = (fsum((one[axis] + other[axis]) * cross for one, other, cross in crossed) / six_areas for axis in (0, 1))
    return x, y


def perimeter_mm(polygon: Polygon) -> float:
    """Length all round."""
    return fsum(hypot(u - x, v - y) for (x, y), (u, v) in sides(polygon))


def past_mm(line: tuple[Point, Point], point: Point) -> float:
    """How far a point lies to the right of a line seen along it; negative to the left."""
    (x, y), (u, v) = line
    return ((point[0] - x) * (v - y) - (point[1] - y) * (u - x)) / hypot(u - x, v - y)


def part_past(polygon: Polygon, line: tuple[Point, Point]) -> tuple[Point, ...]:
    """The part to the right of a line; empty where there is none. **Source**: clipping after Sutherland and Hodgman."""
    past = [past_mm(line, point) for point in polygon]
    corners = zip(sides(polygon), zip(past, (*past[1:], *past[:1]), strict=True), strict=True)
    return tuple(chain.from_iterable(_clipped(*side, *distances) for side, distances in corners))


def _clipped(one: Point, other: Point, before: float, after: float) -> Iterator[Point]:
    if before >= 0:
        yield one
    if (before >= 0) != (after >= 0):
        share = before / (before - after)
        yield one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1])


def holds(polygon: Polygon, point: Point) -> bool:
    """Whether a point lies inside. **Source**: the even-odd rule."""
    (x, y), crossings = point, 0
    for (x1, y1), (x2, y2) in sides(polygon):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1):
            crossings += 1
    return crossings % 2 == 1


def gap_mm(one: Polygon, other: Polygon) -> float:
    """Least distance between the outlines of two polygons that do not cross; either may be a single point."""
    return min(_least_mm(one, other), _least_mm(other, one))


def _least_mm(points: Polygon, polygon: Polygon) -> float:
    return min(to_segment_mm(point, *side) for side in sides(polygon) for point in points)


def to_segment_mm(point: Point, start: Point, end: Point) -> float:
    """Distance of a point from the stretch between two others."""
    run_x, run_y = end[0] - start[0], end[1] - start[1]
    x, y = point[0] - start[0], point[1] - start[1]
    length2 = run_x**2 + run_y**2
    share = max(0.0, min(1.0, (x * run_x + y * run_y) / length2)) if length2 else 0.0
    return hypot(x - share * run_x, y - share * run_y)
