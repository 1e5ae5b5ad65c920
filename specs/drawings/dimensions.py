"""Dimensions of a drawing in the manner of ISO 129-1: extension lines, a line with two arrowheads, the figure above it.

Arrowheads are filled, 15 degrees wide. Figures stand above and parallel to their line, readable from below or right.
"""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, radians, sin, tan

from specs.derived import Point
from specs.drawings.canvas import Canvas
from specs.drawings.style import LETTER_PX

ARROW_PX = 10.0
HALF_ARROW_DEG = 7.5
GAP_PX, PAST_PX, LIFT_PX = 3.0, 4.0, 4.0
SEEN_DEG = 0.05
"""A smaller angle has no arc that could be seen."""


def draw_length(canvas: Canvas, words: str, start: Point, end: Point, line_start: Point, line_end: Point) -> None:
    """A length between two points, its line carried out to ``line_start``–``line_end``, parallel to it."""
    for measured, carried in ((start, line_start), (end, line_end)):
        _extension(canvas, measured, carried)
    _arrowed(canvas, line_start, line_end)
    _figure(canvas, words, line_start, line_end)


def draw_shelf(canvas: Canvas, words: str, near: Point, far: Point, line_x: float, shelf_y: float) -> None:
    """A height whose figure would stand in the way: its line goes on past ``near`` to a shelf, the figure beside it."""
    foot, head = (line_x, far[1]), (line_x, near[1])
    _extension(canvas, near, head)
    _extension(canvas, far, foot)
    _arrowed(canvas, foot, head)
    canvas.line("dimension", head, (line_x, shelf_y))
    baseline = shelf_y - 0.7 * LETTER_PX * canvas.px if shelf_y > head[1] else shelf_y
    canvas.text(words, (line_x - LIFT_PX * canvas.px, baseline), "end")


def draw_angle(canvas: Canvas, words: str, vertex: Point, angle_deg: float, radius_mm: float, side: int) -> None:
    """The angle of a line against the square through its vertex, on the upper (side 1) or lower (-1) half.

    The angle is positive when that half of the line leans to the right. The figure stands on the other side of the
    square line, where nothing leans.
    """
    square = vertex[0], vertex[1] + side * radius_mm
    turn = radians(angle_deg)
    leaning = vertex[0] + radius_mm * sin(turn), vertex[1] + side * radius_mm * cos(turn)
    for end in (square, leaning):
        canvas.line("extension", vertex, _scaled(vertex, end, 1 + PAST_PX * canvas.px / radius_mm))
    if abs(angle_deg) >= SEEN_DEG:
        canvas.arc(square, leaning, radius_mm, clockwise=(angle_deg > 0) == (side > 0))
    away = -1 if angle_deg >= 0 else 1
    at = square[0] + away * LIFT_PX * canvas.px, square[1] - 0.35 * LETTER_PX * canvas.px
    canvas.text(words, at, "end" if away < 0 else "start")


def _scaled(start: Point, end: Point, factor: float) -> Point:
    return start[0] + factor * (end[0] - start[0]), start[1] + factor * (end[1] - start[1])


def _extension(canvas: Canvas, measured: Point, carried: Point) -> None:
    reach = hypot(carried[0] - measured[0], carried[1] - measured[1])
    if reach > GAP_PX * canvas.px:
        out = (carried[0] - measured[0]) / reach, (carried[1] - measured[1]) / reach
        canvas.line("extension", _moved(measured, out, GAP_PX * canvas.px), _moved(carried, out, PAST_PX * canvas.px))


def _arrowed(canvas: Canvas, start: Point, end: Point) -> None:
    canvas.line("dimension", start, end)
    _arrowhead(canvas, start, end)
    _arrowhead(canvas, end, start)


def _arrowhead(canvas: Canvas, tip: Point, other: Point) -> None:
    length = hypot(other[0] - tip[0], other[1] - tip[1])
    along = (other[0] - tip[0]) / length, (other[1] - tip[1]) / length
    foot = _moved(tip, along, ARROW_PX * canvas.px)
    half = ARROW_PX * canvas.px * tan(radians(HALF_ARROW_DEG))
    canvas.arrow(tip, (_moved(foot, (-along[1], along[0]), half), _moved(foot, (along[1], -along[0]), half)))


def _figure(canvas: Canvas, words: str, start: Point, end: Point) -> None:
    turn = degrees(atan2(end[1] - start[1], end[0] - start[0]))
    turn = turn - 180 if turn > 90 + 1e-9 else turn + 180 if turn <= -90 + 1e-9 else turn
    up = -sin(radians(turn)), cos(radians(turn))
    middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    canvas.text(words, _moved(middle, up, LIFT_PX * canvas.px), turn_deg=turn)


def _moved(point: Point, along: Point, by: float) -> Point:
    return point[0] + along[0] * by, point[1] + along[1] * by
