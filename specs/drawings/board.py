"""What is drawn of an instrument seen from above: board, frets, strings, bridge points, pickup places, words."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import fsum

from specs.derived import Derived, Fret, Point
from specs.drawings.canvas import Canvas
from specs.drawings.shapes import along
from specs.drawings.style import LETTER_PX
from specs.geometry.housings import housings
from specs.geometry.neck import finished_board

Say = Callable[[str], str]

LABELLED_FRETS = (0, 12, 24, 7, 5, 3, 9, 15, 17, 19, 21)
"""Frets that carry a number, most wanted first. **Source**: the places of position dots, common practice."""

ALWAYS_LABELLED = (0, 12)
LABEL_DROP_PX = 24.0
LABEL_GAP_PX = 22.0
HAND_WORDS = {"right": "RIGHT-HANDED", "left": "LEFT-HANDED"}


def extent(derived: Derived) -> tuple[Point, Point]:
    """The corners of the smallest rectangle around board, nut and bridge points."""
    points = [*finished_board(derived), *(end for string in derived.strings for end in (string.nut, string.bridge))]
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def seen(derived: Derived) -> tuple[Point, Point]:
    """The corners of the smallest rectangle around all of it, shells and saddle windows too."""
    corners = [*extent(derived), *(corner for shell in housings(derived) for corner in shell.corners)]
    corners += [along(string.nut, string.bridge, string.saddle_window_mm[1]) for string in derived.strings]
    xs, ys = zip(*corners, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def is_square(derived: Derived, fret: Fret) -> bool:
    """Whether this fret, or the nut, is the perpendicular one."""
    return fret.fret == derived.spec.scale.perpendicular_fret


def has_lines(derived: Derived) -> bool:
    """Whether fret lines are seen on the board."""
    return derived.spec.fingerboard.frets_kind != "unlined fretless"


def draw_board(canvas: Canvas, derived: Derived, margin_mm: float) -> None:
    """Outline, frets and centre line. On an unlined board only the nut has a line."""
    (left, _bottom), (right, _top) = extent(derived)
    canvas.line("centre", (left - margin_mm, 0.0), (right + margin_mm, 0.0))
    canvas.polygon("outline", finished_board(derived), part="outline")
    for fret in derived.frets if has_lines(derived) else derived.frets[:1]:
        kind = "square-fret" if is_square(derived, fret) else "outline" if fret.fret == 0 else "fret"
        canvas.line(kind, fret.bass_edge, fret.treble_edge, fret=fret.fret)


def draw_strings(canvas: Canvas, derived: Derived) -> None:
    """Each string as wide as its gauge, from the nut to its bridge point."""
    for string in derived.strings:
        canvas.line("string", string.nut, string.bridge, string.gauge_mm, string=string.number)
    for string in derived.strings:
        canvas.dot(string.bridge, 3.5, bridge=string.number)


def draw_pickups(canvas: Canvas, derived: Derived, letters: bool, say: Say) -> None:
    """The shell of each pickup at its angle, its coil rows inside, and its name above."""
    top = seen(derived)[1][1]
    for shell in housings(derived):
        canvas.polygon("pickup", shell.corners, pickup=shell.name)
        if letters:
            high = sorted(shell.corners, key=lambda corner: corner[1])[2:]
            canvas.text(say(shell.name), (fsum(x for x, _y in high) / 2, top + 8 * canvas.px), kind="minor")
    for place in derived.pickups:
        for row in place.rows:
            canvas.line("coils", *row.line, row=place.name)


def draw_saddle_windows(canvas: Canvas, derived: Derived) -> None:
    """How far behind each scale point a saddle must reach, along its string."""
    for string in derived.strings:
        start, end = (along(string.nut, string.bridge, behind_mm) for behind_mm in string.saddle_window_mm)
        canvas.line("saddle", start, end, window=string.number)


def draw_fret_numbers(canvas: Canvas, derived: Derived, say: Say, side: int = -1) -> None:
    """Numbers outside the lower (-1) or upper (1) edge, the less wanted ones left out where they would touch."""
    drop = side * (LABEL_DROP_PX if side < 0 else LABEL_DROP_PX - 0.7 * LETTER_PX) * canvas.px
    for fret in labelled(derived, side, LABEL_GAP_PX * canvas.px):
        x, y = _edge(fret, side)
        square = is_square(derived, fret)
        kind = "" if square or fret.fret in ALWAYS_LABELLED else "minor"
        canvas.text(str(fret.fret) if fret.fret else say("nut"), (x, y + drop), kind=kind, strong=square)


def labelled(derived: Derived, side: int, gap_mm: float) -> list[Fret]:
    """The frets that carry a number, at least ``gap_mm`` apart along that edge."""
    chosen: list[Fret] = []
    for fret in _wanted(derived) if has_lines(derived) else derived.frets[:1]:
        if all(abs(_edge(fret, side)[0] - _edge(other, side)[0]) >= gap_mm for other in chosen):
            chosen.append(fret)
    return chosen


def _wanted(derived: Derived) -> Iterable[Fret]:
    square = [fret.fret for fret in derived.frets if is_square(derived, fret)]
    order = dict.fromkeys((*square, 0, len(derived.frets) - 1, *LABELLED_FRETS))
    return (derived.frets[number] for number in order if number < len(derived.frets))


def _edge(fret: Fret, side: int) -> Point:
    return max(fret.bass_edge, fret.treble_edge, key=lambda point: side * point[1])


def draw_words(canvas: Canvas, derived: Derived, say: Say, shells: bool = True) -> None:
    """The hand, top left, and the two sides named, right."""
    (left, bottom), (right, top) = seen(derived) if shells else extent(derived)
    above, below = ("treble side", "bass side") if treble_side(derived) > 0 else ("bass side", "treble side")
    up, down = top + LABEL_DROP_PX * canvas.px, bottom - LABEL_DROP_PX * canvas.px
    draw_hand(canvas, derived, (left, up), say)
    canvas.text(say(above), (right, up), "end", kind="minor")
    canvas.text(say(below), (right, down), "end", kind="minor")


def draw_hand(canvas: Canvas, derived: Derived, at: Point, say: Say) -> None:
    """LEFT-HANDED or RIGHT-HANDED, in words."""
    canvas.text(say(HAND_WORDS[derived.spec.hand]), at, "start", strong=True)


def treble_side(derived: Derived) -> int:
    """1 where the treble side is drawn above the centre line, -1 where below."""
    return 1 if derived.strings[-1].bridge[1] > 0 else -1


def described(derived: Derived, say: Say) -> str:
    """The drawing in one line of words, for those who do not see it."""
    bass, treble = derived.strings[0], derived.strings[-1]
    lower = say("Bass string at the bottom.") if treble_side(derived) > 0 else say("Bass string at the top.")
    return " ".join(
        (
            say(HAND_WORDS[derived.spec.hand]) + ".",
            say("Nut at the left, bridge at the right."),
            lower,
            f"{say('Strings')}: {len(derived.strings)}, {bass.scale_mm:.2f}–{treble.scale_mm:.2f} mm.",
            f"{say('Frets')}: {len(derived.frets) - 1}, {say('square at')} {derived.spec.scale.perpendicular_fret:g}.",
        )
    )
