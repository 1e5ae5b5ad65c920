"""Two instruments drawn over one another, nut on nut: the first in full lines, the second dashed."""

from __future__ import annotations

from specs.derived import Derived
from specs.drawings.board import HAND_WORDS, Say, draw_board, draw_fret_numbers, draw_strings, extent, has_lines
from specs.drawings.canvas import Canvas
from specs.geometry.neck import finished_board

MARGIN_PX, WORDS_PX, LINE_PX = 20.0, 36.0, 26.0


def overlaid_drawing(
    first: Derived,
    second: Derived,
    *,
    names: tuple[str, str],
    width: float = 1160,
    paper: bool = False,
    title: str = "Two boards over one another",
    say: Say = str,
) -> str:
    """One ``svg`` element in mm, both centre lines and both nuts' middles on one another; ``names`` say which is
    which, with the hand of each in words.

    Line kinds follow ISO 128-2: full lines for the first, thin dashed ones for the second.
    """
    corners = [corner for instrument in (first, second) for corner in extent(instrument)]
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    bottom, top = min(y for _, y in corners), max(y for _, y in corners)
    canvas = Canvas((right - left) / (width - 2 * MARGIN_PX), paper)
    draw_board(canvas, first, 0.7 * MARGIN_PX * canvas.px)
    draw_strings(canvas, first)
    _draw_dashed(canvas, second)
    draw_fret_numbers(canvas, first, say)
    for place, words in enumerate(_named(first, second, names, say)):
        up = top + (0.65 * WORDS_PX + (1 - place) * LINE_PX) * canvas.px
        canvas.text(words, (left, up), "start", strong=True)
    space, edge = WORDS_PX * canvas.px, MARGIN_PX * canvas.px
    low, high = (left - edge, bottom - space), (right + edge, top + space + LINE_PX * canvas.px)
    size = width, width * (high[1] - low[1]) / (high[0] - low[0])
    return canvas.svg(low, high, size, title, _described(first, second, names, say))


def _draw_dashed(canvas: Canvas, derived: Derived) -> None:
    canvas.polygon("other", finished_board(derived), dashed="outline")
    for fret in derived.frets if has_lines(derived) else derived.frets[:1]:
        canvas.line("other", fret.bass_edge, fret.treble_edge, dashed=f"fret-{fret.fret}")
    canvas.line("other", derived.strings[0].bridge, derived.strings[-1].bridge, dashed="bridge")
    for string in derived.strings:
        canvas.dot(string.bridge, 2.0)


def _named(first: Derived, second: Derived, names: tuple[str, str], say: Say) -> list[str]:
    kinds = zip((say("full lines"), say("dashed")), names, (first, second), strict=True)
    return [f"{kind}: {name}, {say(HAND_WORDS[made.spec.hand])}" for kind, name, made in kinds]


def _described(first: Derived, second: Derived, names: tuple[str, str], say: Say) -> str:
    return " ".join(
        f"{named}, {made.strings[0].scale_mm:.2f}–{made.strings[-1].scale_mm:.2f} mm."
        for named, made in zip(_named(first, second, names, say), (first, second), strict=True)
    )
