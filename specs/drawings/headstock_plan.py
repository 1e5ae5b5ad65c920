"""The way of every string from nut to post, from above: what turns too far or passes too close is marked."""

from __future__ import annotations

from collections.abc import Sequence

from specs.derived import Derived, Point
from specs.drawings.board import HAND_WORDS, Say, draw_hand, treble_side
from specs.drawings.canvas import Canvas
from specs.geometry.headstock import Post, StringPath, post_places, string_paths
from specs.geometry.neck import nut_seat

MARGIN_PX, WORDS_PX = 20.0, 34.0
OVER_BOARD_MM = 40.0
"""How much of each string is drawn over the board, so that a turn is seen."""

ROOM_MM = 14.0


def headstock_drawing(
    derived: Derived,
    posts: Sequence[Post] | None = None,
    *,
    width: float = 560,
    paper: bool = False,
    title: str = "Tuner posts and string paths from above",
    say: Say = str,
) -> str:
    """One ``svg`` element in mm, tip at the left, y up; ``posts`` may be anybody's, else the ordered ones.

    Empty on a headless neck. Raises Refused for a layout of another number of posts, or a post on the nut.
    """
    posts = post_places(derived) if posts is None else posts
    if not posts:
        return ""
    paths, (low, high) = string_paths(derived, posts), _extent(derived, posts)
    canvas = Canvas((high[0] - low[0]) / (width - 2 * MARGIN_PX), paper)
    canvas.line("centre", (low[0], 0.0), (high[0], 0.0))
    canvas.polygon("outline", nut_seat(derived), part="nut")
    for index, path in enumerate(paths):
        _draw_path(canvas, derived, index, path)
    for post, path in zip(posts, paths, strict=True):
        _draw_post(canvas, post, path)
    _draw_words(canvas, derived, low, high, say)
    edge, space = MARGIN_PX * canvas.px, WORDS_PX * canvas.px
    corners = (low[0] - edge, low[1] - space), (high[0] + edge, high[1] + space)
    size = width, width * (corners[1][1] - corners[0][1]) / (corners[1][0] - corners[0][0])
    return canvas.svg(*corners, size, title, _described(derived, paths, say), kind="plan")


def wrong(path: StringPath) -> bool:
    """Whether a path breaks either limit of the bench."""
    return path.turns_too_far or path.passes_too_close


def _extent(derived: Derived, posts: Sequence[Post]) -> tuple[Point, Point]:
    points = [*nut_seat(derived), *(post.centre for post in posts), *(string.nut for string in derived.strings)]
    xs, ys = zip(*points, strict=True)
    return (min(xs) - ROOM_MM, min(ys) - ROOM_MM), (max(xs) + OVER_BOARD_MM, max(ys) + ROOM_MM)


def _draw_path(canvas: Canvas, derived: Derived, index: int, path: StringPath) -> None:
    """The string over the board and on to its post; dashed where it would have run on straight."""
    string = derived.strings[index]
    slope = (string.bridge[1] - string.nut[1]) / (string.bridge[0] - string.nut[0])
    x, y = string.nut
    canvas.line("string", string.nut, (x + OVER_BOARD_MM, y + OVER_BOARD_MM * slope), string.gauge_mm)
    canvas.line("string", string.nut, path.contact, string.gauge_mm, path=path.number)
    if path.sideways_deg > 0.05:
        straight = path.contact[0], y + (path.contact[0] - x) * slope
        canvas.line("other", string.nut, straight, straight=path.number)


def _draw_post(canvas: Canvas, post: Post, path: StringPath) -> None:
    canvas.ring(post.centre, post.diameter_mm / 2, post=post.number)
    canvas.dot(post.centre, 1.5)
    away = post.centre[1] + post.side * (post.diameter_mm / 2 + 12 * canvas.px) - 5 * canvas.px
    mark = "▲ " if wrong(path) else ""
    canvas.text(f"{mark}{post.number}", (post.centre[0], away), strong=wrong(path))


def _draw_words(canvas: Canvas, derived: Derived, low: Point, high: Point, say: Say) -> None:
    px = canvas.px
    above, below = ("treble side", "bass side") if treble_side(derived) > 0 else ("bass side", "treble side")
    draw_hand(canvas, derived, (low[0], high[1] + 14 * px), say)
    canvas.text(say(above), (high[0], high[1] + 14 * px), "end", kind="minor")
    canvas.text(say(below), (high[0], low[1] - 22 * px), "end", kind="minor")


def _described(derived: Derived, paths: Sequence[StringPath], say: Say) -> str:
    bad = ", ".join(str(path.number) for path in paths if wrong(path))
    words = [say(HAND_WORDS[derived.spec.hand]) + ".", say("Tip at the left, nut at the right.")]
    words.append(f"{say('Out of limits')}: {say('string')} {bad}." if bad else say("Every string within its limits."))
    return " ".join(words)
