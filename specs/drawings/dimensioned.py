"""The board with its dimensions: which are given, and where each stands so that none meets another.

Scales lie outermost, parallel to their strings; the board's length inside the bass one; spreads and the nut's width
left and right; the angles on the treble side, in the free corners the slant leaves.
"""

from __future__ import annotations

from math import hypot

from specs.derived import Derived, Point, String
from specs.drawings.board import (
    Say,
    described,
    draw_board,
    draw_fret_numbers,
    draw_hand,
    draw_strings,
    extent,
    treble_side,
)
from specs.drawings.canvas import Canvas
from specs.drawings.dimensions import draw_angle, draw_length, draw_shelf

EDGE_PX, STEP_PX, FIRST_PX = 20.0, 30.0, 24.0
SHELF_PX, ANGLE_PX, BOARD_PX, SCALE_PX = 14.0, 36.0, 44.0, 84.0
"""How far beyond the instrument each ring of dimensions lies."""

UPRIGHT_PX = 46.0
"""Half the room an upright figure needs; a narrower instrument's rings keep this distance."""


def dimensioned_drawing(
    derived: Derived,
    *,
    width: float = 1160,
    paper: bool = True,
    title: str = "Board with its dimensions, in mm and degrees",
    say: Say = str,
) -> str:
    """One ``svg`` element: scales, spreads, widths, board length and both angles, after ISO 129-1."""
    (left, _bottom), (right, _top) = extent(derived)
    canvas = Canvas((right - left) / (width - 2 * (EDGE_PX + 2 * STEP_PX)), paper)
    _draw_instrument(canvas, derived, say)
    for draw in (_scales, _board_length, _spreads, _widths, _angles):
        draw(canvas, derived, say)
    edge = EDGE_PX * canvas.px
    along, across = edge + 2 * STEP_PX * canvas.px, _ring(canvas, derived, SCALE_PX) + 2 * edge
    low, high = (left - along, -across), (right + along, across)
    draw_hand(canvas, derived, (low[0] + edge, high[1] - edge), say)
    size = width, width * (high[1] - low[1]) / (high[0] - low[0])
    return canvas.svg(low, high, size, title, described(derived, say), "drawing dimensioned")


def _draw_instrument(canvas: Canvas, derived: Derived, say: Say) -> None:
    draw_board(canvas, derived, 14 * canvas.px)
    draw_strings(canvas, derived)
    draw_fret_numbers(canvas, derived, say, side=-treble_side(derived))


def _ring(canvas: Canvas, derived: Derived, beyond_px: float) -> float:
    """The distance from the centre line at which a ring of dimensions lies."""
    (_left, bottom), (_right, top) = extent(derived)
    return max(-bottom, top, UPRIGHT_PX * canvas.px) + beyond_px * canvas.px


def _scales(canvas: Canvas, derived: Derived, say: Say) -> None:
    side, ring = treble_side(derived), _ring(canvas, derived, SCALE_PX)
    for name, string, out in (("bass scale", derived.strings[0], -side), ("treble scale", derived.strings[-1], side)):
        _scale(canvas, f"{say(name)} {string.scale_mm:.2f}", string, out, ring)


def _scale(canvas: Canvas, words: str, string: String, side: int, ring_mm: float) -> None:
    (x1, y1), (x2, y2) = string.nut, string.bridge
    length = hypot(x2 - x1, y2 - y1)
    away = ring_mm - max(abs(y1), abs(y2))
    out = -side * (y2 - y1) / length * away, side * (x2 - x1) / length * away
    carried = [(x + out[0], y + out[1]) for x, y in (string.nut, string.bridge)]
    draw_length(canvas, words, string.nut, string.bridge, *carried)


def _board_length(canvas: Canvas, derived: Derived, say: Say) -> None:
    y = -treble_side(derived) * _ring(canvas, derived, BOARD_PX)
    length = derived.board.length_mm
    draw_length(canvas, f"{say('board')} {length:.2f}", (0.0, 0.0), (length, 0.0), (0.0, y), (length, y))


def _spreads(canvas: Canvas, derived: Derived, say: Say) -> None:
    (left, _bottom), (right, _top) = extent(derived)
    bass, treble = derived.strings[0], derived.strings[-1]
    at_nut, at_bridge = left - FIRST_PX * canvas.px, right + 1.5 * FIRST_PX * canvas.px
    _upright(canvas, say("nut spread"), bass.nut, treble.nut, at_nut)
    _upright(canvas, say("bridge spread"), bass.bridge, treble.bridge, at_bridge)


def _upright(canvas: Canvas, name: str, start: Point, end: Point, line_x: float) -> None:
    low, high = sorted((start, end), key=lambda point: point[1])
    words = f"{name} {high[1] - low[1]:.2f}"
    draw_length(canvas, words, low, high, (line_x, low[1]), (line_x, high[1]))


def _widths(canvas: Canvas, derived: Derived, say: Say) -> None:
    (left, _bottom), _high = extent(derived)
    half, side = derived.board.width_nut_mm / 2, treble_side(derived)
    _upright(canvas, say("nut width"), (0.0, -half), (0.0, half), left - (FIRST_PX + STEP_PX) * canvas.px)
    last, end = derived.frets[-1].centre_mm, derived.board.width_end_mm / 2
    line_x = max(x for x, _y in derived.board.outline) + 0.5 * FIRST_PX * canvas.px
    words = f"{say('width at last fret')} {derived.board.width_end_mm:.2f}"
    shelf_y = side * _ring(canvas, derived, SHELF_PX)
    draw_shelf(canvas, words, (last, side * end), (last, -side * end), line_x, shelf_y)


def _angles(canvas: Canvas, derived: Derived, say: Say) -> None:
    side, radius = treble_side(derived), _ring(canvas, derived, ANGLE_PX)
    (x_bass, _), (x_treble, _) = derived.strings[0].bridge, derived.strings[-1].bridge
    places = ("nut", 0.0, derived.nut_angle_deg), ("bridge", (x_bass + x_treble) / 2, derived.bridge_angle_deg)
    for name, x, angle_deg in places:
        draw_angle(canvas, f"{say(name)} {abs(angle_deg):.2f}°", (x, 0.0), angle_deg, radius, side)
