"""Strokes on a PDF page to a millionth of a point; the library's own seven digits are too coarse on a long page."""

from __future__ import annotations

from collections.abc import Iterable
from math import sqrt

from reportlab.pdfgen.canvas import Canvas

from specs.derived import Point

DECIMALS = 6
QUARTER = 4 / 3 * (sqrt(2) - 1)
"""Handle of a quarter circle over its radius. **Source**: the curve passes through the middle of the arc."""


def stroke(pdf: Canvas, points: Iterable[Point], *, closed: bool = False) -> None:
    """A line through points of the page, back to the first where closed."""
    first, *others = map(_written, points)
    steps = (f"{point} l" for point in others)
    pdf.addLiteral(" ".join(("n", f"{first} m", *steps, "h S" if closed else "S")))


def stroke_circle(pdf: Canvas, centre: Point, radius: float) -> None:
    """A circle of four curves, counter-clockwise from its right."""
    (x, y), handle = centre, QUARTER * radius
    path = [f"n {_written((x + radius, y))} m"]
    for cos, sin in ((1, 0), (0, 1), (-1, 0), (0, -1)):
        start, end = (x + radius * cos, y + radius * sin), (x - radius * sin, y + radius * cos)
        first = start[0] - handle * sin, start[1] + handle * cos
        second = end[0] + handle * cos, end[1] + handle * sin
        path.append(f"{_written(first)} {_written(second)} {_written(end)} c")
    pdf.addLiteral(" ".join((*path, "h S")))


def _written(point: Point) -> str:
    return f"{point[0]:.{DECIMALS}f} {point[1]:.{DECIMALS}f}"
