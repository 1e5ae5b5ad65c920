"""The shapes a cut-ready drawing is made of, by layer, in mm of the instrument: x from nut to bridge, y up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from specs.derived import Point


@dataclass(frozen=True)
class Line:
    """A straight line between two points."""

    layer: str
    name: str
    start: Point
    end: Point

    @property
    def points(self) -> tuple[Point, ...]:
        """Its two ends."""
        return self.start, self.end


@dataclass(frozen=True)
class Outline:
    """A closed outline; the last corner joins the first without being repeated."""

    layer: str
    name: str
    points: tuple[Point, ...]


@dataclass(frozen=True)
class Hole:
    """A round hole."""

    layer: str
    name: str
    centre: Point
    diameter_mm: float

    @property
    def points(self) -> tuple[Point, ...]:
        """Two opposite corners of the square around it."""
        (x, y), half = self.centre, self.diameter_mm / 2
        return (x - half, y - half), (x + half, y + half)


@dataclass(frozen=True)
class Mark:
    """A single point."""

    layer: str
    name: str
    at: Point

    @property
    def points(self) -> tuple[Point, ...]:
        """The point itself."""
        return (self.at,)


@dataclass(frozen=True)
class Words:
    """Letters of that height, their baseline centred on a point; never mirrored."""

    layer: str
    text: str
    at: Point
    height_mm: float

    @property
    def points(self) -> tuple[Point, ...]:
        """The point the letters stand on and the one above them."""
        return self.at, (self.at[0], self.at[1] + self.height_mm)


Shape = Line | Outline | Hole | Mark | Words


@dataclass(frozen=True)
class Plan:
    """Everything drawn of one instrument seen from the strings' side; ``hand`` and ``datum`` are words for people."""

    hand: str
    datum: str
    shapes: tuple[Shape, ...]

    def on(self, layer: str) -> tuple[Shape, ...]:
        """The shapes of one layer, in the order they were drawn."""
        return tuple(shape for shape in self.shapes if shape.layer == layer)

    @property
    def layers(self) -> tuple[str, ...]:
        """The layers that hold anything, in the order of their first shape."""
        return tuple(dict.fromkeys(shape.layer for shape in self.shapes))

    @property
    def extent(self) -> tuple[Point, Point]:
        """Lowest and highest corner of the rectangle around every shape."""
        xs, ys = zip(*self._points(), strict=True)
        return (min(xs), min(ys)), (max(xs), max(ys))

    def _points(self) -> Iterator[Point]:
        return (point for shape in self.shapes for point in shape.points)


def along(start: Point, end: Point, by_mm: float) -> Point:
    """The point that far past ``end``, coming from ``start``; before it where negative."""
    share = by_mm / hypot(end[0] - start[0], end[1] - start[1])
    return end[0] + share * (end[0] - start[0]), end[1] + share * (end[1] - start[1])


def lengthened(start: Point, end: Point, by_mm: float) -> tuple[Point, Point]:
    """Both ends carried out by that much, or drawn in where negative."""
    return along(end, start, by_mm), along(start, end, by_mm)


def strip(start: Point, end: Point, width_mm: float) -> tuple[Point, Point, Point, Point]:
    """Corners of the rectangle of that width around a line, counter-clockwise from the right of its start."""
    half = width_mm / 2 / hypot(end[0] - start[0], end[1] - start[1])
    right = (end[1] - start[1]) * half, (start[0] - end[0]) * half
    left = -right[0], -right[1]
    return _moved(start, right), _moved(end, right), _moved(end, left), _moved(start, left)


def _moved(point: Point, by: Point) -> Point:
    return point[0] + by[0], point[1] + by[1]
