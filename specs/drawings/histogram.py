"""How often values fell where: columns over an axis, with strokes at named values."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil, floor, log10
from typing import NamedTuple

from specs.drawings.canvas import Canvas, attributes, number
from specs.drawings.style import ink

WIDE, HIGH = 480.0, 120.0
LEFT, BELOW, ABOVE = 34.0, 40.0, 34.0
MOST_COLUMNS = 12
STEPS = (1, 2, 5, 10)
FURTHEST = 1e6
"""More column widths than this from nothing, and the axis would be longer than a number's digits hold."""


class Column(NamedTuple):
    """Values from one edge up to, but not with, the next, and how many of them there are."""

    begin: float
    end: float
    count: int


class Mark(NamedTuple):
    """A value with its name and figure, drawn as a stroke across the columns; ``strong`` is the one that matters."""

    value: float
    name: str
    strong: bool = False


def columns(values: Sequence[float]) -> tuple[Column, ...]:
    """Columns of one round width, at most twelve or so, that hold every value; empty ones between them included.

    Raises ``ValueError`` for no values.
    """
    if not values:
        raise ValueError("a histogram needs one value at least")
    width = _round_width((max(values) - min(values)) / MOST_COLUMNS, max(abs(value) for value in values))
    places = [floor(value / width + 1e-9) for value in values]
    return tuple(
        Column(round(place * width, 9), round((place + 1) * width, 9), places.count(place))
        for place in range(min(places), max(places) + 1)
    )


def _round_width(least: float, largest: float) -> float:
    """1, 2 or 5 times a power of ten, at least as wide."""
    least = max(least, largest / FURTHEST) or 1.0
    power = 10.0 ** floor(log10(least))
    return next(step * power for step in STEPS if step * power >= least * (1 - 1e-9))


def histogram(
    values: Sequence[float], marks: Iterable[Mark] = (), *, unit: str, title: str, paper: bool = False
) -> str:
    """One ``svg`` element: the columns of the values, their number above each, strokes at the marks.

    The marks widen the axis where they lie outside the values. Raises ``ValueError`` for no values.
    """
    bars, marks = columns(values), sorted(marks)
    low = min([bars[0].begin, *(mark.value for mark in marks)])
    high = max([bars[-1].end, *(mark.value for mark in marks)])
    scale, most = WIDE / (high - low), max(bar.count for bar in bars)
    canvas = Canvas(1.0, paper)
    for bar in bars:
        _column(canvas, (bar.begin - low) * scale, (bar.end - low) * scale, bar.count / most * HIGH, bar.count)
    canvas.line("dimension", (0, 0), (WIDE, 0))
    for value in _ticks(bars):
        canvas.text(f"{value:g}", ((value - low) * scale, -16))
    canvas.text(unit, (WIDE, -34), "end")
    for place, mark in enumerate(marks):
        _mark(canvas, (mark.value - low) * scale, mark, place)
    size = (WIDE + 2 * LEFT, HIGH + BELOW + ABOVE)
    return canvas.svg((-LEFT, -BELOW), (WIDE + LEFT, HIGH + ABOVE), size, title, _told(bars, marks, unit), "histogram")


def _ticks(bars: Sequence[Column]) -> list[float]:
    every = ceil(len(bars) / 6)
    return [bar.begin for bar in bars[::every]]


def _column(canvas: Canvas, begin: float, end: float, height: float, count: int) -> None:
    if not count:
        return
    x, y = canvas.at((begin + 1, height))
    drawn = {"x": x, "y": y, "width": number(max(1.0, end - begin - 2)), "height": number(height)}
    canvas.parts.append(f"<rect{attributes({**drawn, 'fill': ink(canvas.paper), 'fill-opacity': '0.3'})}/>")
    canvas.text(str(count), ((begin + end) / 2, height + 3))


def _mark(canvas: Canvas, x: float, mark: Mark, place: int) -> None:
    kind = "curve" if mark.strong else "centre"
    canvas.line(kind, (x, -3), (x, HIGH + 18))
    side = "end" if x > 0.75 * WIDE or (place % 2 == 0 and x > 0.25 * WIDE) else "start"
    canvas.text(mark.name, (x - 4 if side == "end" else x + 4, HIGH + 20), side, strong=mark.strong)


def _told(bars: Sequence[Column], marks: Iterable[Mark], unit: str) -> str:
    told = [f"{bar.begin:g}–{bar.end:g} {unit}: {bar.count}" for bar in bars if bar.count]
    return "; ".join([*told, *(f"{mark.name} {unit}" for mark in marks)])
