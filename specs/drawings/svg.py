"""The drawings of one instrument as SVG, for screen and paper: seen from above, nut at the left, y running up."""

from __future__ import annotations

from specs.derived import Derived
from specs.drawings.board import (
    Say,
    described,
    draw_board,
    draw_fret_numbers,
    draw_pickups,
    draw_saddle_windows,
    draw_strings,
    draw_words,
    extent,
    seen,
)
from specs.drawings.canvas import Canvas
from specs.drawings.dimensioned import dimensioned_drawing

MARGIN_PX = 20.0
WORDS_PX = 36.0

__all__ = ("board_drawing", "dimensioned_drawing")


def board_drawing(
    derived: Derived,
    *,
    width: float = 1160,
    height: float | None = None,
    paper: bool = False,
    pickups: bool = True,
    labels: bool = True,
    title: str = "Board, strings and bridge points from above",
    say: Say = str,
) -> str:
    """One ``svg`` element in mm of the instrument, ``width`` px wide; ``say`` puts its words in the reader's language.

    Lines follow ISO 128-2; the string's line is as wide as its gauge; the perpendicular fret is accented.
    """
    (left, bottom), (right, top) = seen(derived) if pickups else extent(derived)
    px = (right - left) / (width - 2 * MARGIN_PX)
    canvas = Canvas(px, paper)
    _draw_instrument(canvas, derived, pickups, labels, say)
    space = (WORDS_PX if labels else MARGIN_PX) * px
    low, high = (left - MARGIN_PX * px, bottom - space), (right + MARGIN_PX * px, top + space)
    size = width, height or width * (high[1] - low[1]) / (high[0] - low[0])
    return canvas.svg(low, high, size, title, described(derived, say))


def _draw_instrument(canvas: Canvas, derived: Derived, pickups: bool, labels: bool, say: Say) -> None:
    draw_board(canvas, derived, 0.7 * MARGIN_PX * canvas.px)
    if pickups:
        draw_pickups(canvas, derived, labels, say)
    draw_strings(canvas, derived)
    draw_saddle_windows(canvas, derived)
    if labels:
        draw_fret_numbers(canvas, derived, say)
        draw_words(canvas, derived, say, pickups)
