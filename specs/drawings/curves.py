"""How loud every string's harmonics are, as small pictures of one size: one a string, the others faint behind it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil

from specs.derived import Point
from specs.drawings.canvas import Canvas

WIDE, HIGH = 220.0, 110.0
LEFT, BELOW, ABOVE, APART = 26.0, 24.0, 22.0, 14.0
COLUMNS = 3
LABELLED = (1, 5, 10, 15, 20)
"""Harmonics that carry a number below the picture."""

Say = Callable[[str], str]


@dataclass(frozen=True)
class StringCurve:
    """A string's name and how loud its harmonics are, the first one first."""

    name: str
    levels: tuple[float, ...]


def response_curves(
    curves: Sequence[StringCurve],
    *,
    paper: bool = False,
    columns: int = COLUMNS,
    title: str = "How loud each harmonic is, by string",
    say: Say = str,
) -> str:
    """One ``svg`` element, all pictures on one scale from nothing to the loudest harmonic of all.

    An even tone is curves that lie on one another. Raises ValueError where there is no string.
    """
    if not curves:
        raise ValueError("give the curve of one string at least")
    canvas, rows = Canvas(1.0, paper), ceil(len(curves) / columns)
    loudest = max(max(curve.levels) for curve in curves) or 1.0
    for place, curve in enumerate(curves):
        corner = (place % columns) * (WIDE + LEFT + APART) + LEFT, -(place // columns) * (HIGH + BELOW + ABOVE) - HIGH
        _draw_panel(canvas, corner, curve, curves, loudest, say)
    size = min(columns, len(curves)) * (WIDE + LEFT + APART), rows * (HIGH + BELOW + ABOVE) + ABOVE
    return canvas.svg((0.0, ABOVE - size[1]), (size[0], ABOVE), size, title, _described(curves, say), "curves")


def _draw_panel(
    canvas: Canvas, corner: Point, curve: StringCurve, others: Sequence[StringCurve], loudest: float, say: Say
) -> None:
    x, y = corner
    canvas.line("dimension", (x, y), (x + WIDE, y))
    canvas.line("dimension", (x, y), (x, y + HIGH))
    canvas.text(f"{say('string')} {curve.name}", (x, y + HIGH + 7), "start", strong=True)
    for other in others:
        if other is not curve:
            canvas.polyline("faint", _points(corner, other, loudest))
    canvas.polyline("curve", _points(corner, curve, loudest), curve=curve.name)
    for harmonic in LABELLED:
        if harmonic <= len(curve.levels):
            across = _points(corner, curve, loudest)[harmonic - 1][0]
            canvas.line("dimension", (across, y), (across, y - 4))
            canvas.text(str(harmonic), (across, y - 17), kind="minor")


def _points(corner: Point, curve: StringCurve, loudest: float) -> list[Point]:
    step = WIDE / len(curve.levels)
    return [
        (corner[0] + (place + 0.5) * step, corner[1] + level / loudest * HIGH)
        for place, level in enumerate(curve.levels)
    ]


def _described(curves: Sequence[StringCurve], say: Say) -> str:
    told = say("Harmonics from left to right, loudness upward; one picture a string, the other strings faint behind.")
    return f"{told} {say('Strings')}: {', '.join(curve.name for curve in curves)}."
