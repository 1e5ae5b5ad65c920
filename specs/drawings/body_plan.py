"""The instrument from above: the body around board, strings and pickups, its chambers, and where it hangs level."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import chain

from specs.derived import Derived, Point
from specs.drawings.board import HAND_WORDS, Say, draw_board, draw_hand, draw_saddle_windows, draw_strings, treble_side
from specs.drawings.canvas import Canvas
from specs.drawings.dimensions import draw_length
from specs.errors import Refused
from specs.geometry.body import body_outline
from specs.geometry.chambers import chambers
from specs.geometry.headstock import post_places
from specs.geometry.housings import housings
from specs.wood.balance import Balance
from specs.wood.parts import hang, strap_buttons

MARGIN_PX, DIMENSION_PX, RADIUS_PX = 24.0, 60.0, 7.0
HANGS = {"neck": "the neck drops", "body": "the body drops", "level": "hangs level"}


def body_drawing(
    derived: Derived,
    *,
    width: float = 1160,
    paper: bool = False,
    title: str = "Body and neck from above, with the balance point",
    say: Say = str,
    densities: Mapping[str, float] | None = None,
) -> str:
    """One ``svg`` element in mm, nut at the left, y up; mirrored where the instrument is left-handed.

    Chambers are dashed, the balance point is marked (with ``densities`` of weighed planks), strap buttons are dots.
    Raises Refused where no body can be drawn.
    """
    low, high = _extent(derived)
    canvas = Canvas((high[0] - low[0]) / (width - 2 * MARGIN_PX), paper)
    draw_board(canvas, derived, 0.7 * MARGIN_PX * canvas.px)
    _draw_body(canvas, derived)
    _draw_pickups(canvas, derived)
    draw_strings(canvas, derived)
    draw_saddle_windows(canvas, derived)
    hanging = _balance(derived, densities)
    if hanging:
        _draw_balance(canvas, hanging, low[1], say)
    _draw_words(canvas, derived, low, high, say)
    edge, below = MARGIN_PX * canvas.px, DIMENSION_PX * canvas.px
    corners = (low[0] - edge, low[1] - below), (high[0] + edge, high[1] + edge)
    size = width, width * (corners[1][1] - corners[0][1]) / (corners[1][0] - corners[0][0])
    return canvas.svg(*corners, size, title, _described(derived, hanging, say))


def _extent(derived: Derived) -> tuple[Point, Point]:
    """The corners of the smallest rectangle around body, board and posts."""
    posts = _posts(derived)
    xs, ys = zip(*chain(body_outline(derived).polygon(), derived.board.outline, posts), strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def _posts(derived: Derived) -> tuple[Point, ...]:
    try:
        return tuple(post.centre for post in post_places(derived))
    except Refused:
        return ()


def _draw_body(canvas: Canvas, derived: Derived) -> None:
    canvas.polygon("outline", body_outline(derived).polygon(), part="body")
    for chamber in chambers(derived):
        canvas.polygon("other", chamber.curve.polygon(), chamber=chamber.place)
    canvas.line("bridge", derived.strings[0].bridge, derived.strings[-1].bridge, part="bridge-line")
    for button in strap_buttons(derived):
        canvas.dot(button, 4.0, button=f"{button[0]:.0f}")
    for place in _posts(derived):
        canvas.dot(place, 4.0, post=f"{place[0]:.0f}")


def _draw_pickups(canvas: Canvas, derived: Derived) -> None:
    for shell in housings(derived):
        canvas.polygon("pickup", shell.corners, pickup=shell.name)
    for row in (row for place in derived.pickups for row in place.rows):
        canvas.line("coils", *row.line)


def _balance(derived: Derived, densities: Mapping[str, float] | None) -> Balance | None:
    """How it hangs; None where its headstock cannot be drawn."""
    try:
        return hang(derived, densities).usual
    except Refused:
        return None


def _draw_balance(canvas: Canvas, hanging: Balance, bottom_mm: float, say: Say) -> None:
    """A ring with its cross on the centre line, and its distance from the nut."""
    radius, x = RADIUS_PX * canvas.px, hanging.x_mm
    canvas.ring((x, 0.0), radius, part="balance")
    canvas.line("curve", (x, -1.8 * radius), (x, 1.8 * radius))
    canvas.line("curve", (x - 1.8 * radius, 0.0), (x + 1.8 * radius, 0.0))
    y = bottom_mm - 48 * canvas.px
    words = f"{say('balance point')} {x:.0f} mm"
    draw_length(canvas, words, (0.0, 0.0), (x, 0.0), (0.0, y), (x, y))


def _draw_words(canvas: Canvas, derived: Derived, low: Point, high: Point, say: Say) -> None:
    outline, px = body_outline(derived).polygon(), canvas.px
    left, right = min(outline), max(outline)
    words, y = f"{right[0] - left[0]:.0f} mm", low[1] - 22 * px
    draw_length(canvas, words, left, right, (left[0], y), (right[0], y))
    draw_hand(canvas, derived, (low[0], high[1] - 12 * px), say)
    above, below = ("treble side", "bass side") if treble_side(derived) > 0 else ("bass side", "treble side")
    canvas.text(say(above), (low[0], high[1] - 32 * px), "start", kind="minor")
    canvas.text(say(below), (low[0], low[1] + 4 * px), "start", kind="minor")


def _described(derived: Derived, hanging: Balance | None, say: Say) -> str:
    words = [say(HAND_WORDS[derived.spec.hand]) + ".", say("Nut at the left, tail at the right.")]
    words.append(say("Bass side at the bottom.") if treble_side(derived) > 0 else say("Bass side at the top."))
    if hanging:
        words.append(f"{say('Balance point')}: {hanging.x_mm:.0f} mm, {say(HANGS[hanging.drops])}.")
    return " ".join(words)
