"""Strips of the time chart: one row of some days as an ``svg`` without a scale of its own, in shares of its width.

Days stand side by side with their working hours only, so that a night takes no room. Lines and inks come from the one
table of drawings; letters inside a bar are cut off at its end.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape

import numpy as np
from numpy.typing import NDArray

from routing.rota import DAY
from specs.drawings.canvas import Canvas, attributes, number
from specs.drawings.style import ink

BAR, AROUND = 20, 8
FROM_HOUR, TO_HOUR = 7, 19
"""Hours of a day that are drawn; work outside them lies at the day's edge."""

LEAST = 0.25
"""Width of the shortest bar, per cent."""

ALONE = 0.9
"""Width, and twice the gap, from which a bar stands alone, per cent."""

LETTERS_FROM = 2.5

BELOW = 400
"""Uprights go on below their strip, as far as its row, where the name beside it takes more lines."""


@dataclass(frozen=True)
class Window:
    """From the first minute of a day (of the clock, since 1970) over so many days."""

    begin: int
    days: int

    @property
    def end(self) -> int:
        return self.begin + self.days * DAY

    def at(self, minutes: NDArray[np.int64]) -> NDArray[np.float64]:
        """Where moments lie, from 0 at the left to 100 at the right; beyond them they lie at the edge."""
        day, of_day = np.divmod(minutes - self.begin, DAY)
        within = ((of_day / 60 - FROM_HOUR) / (TO_HOUR - FROM_HOUR)).clip(0.0, 1.0)
        return (100.0 * (day + within) / self.days).clip(0.0, 100.0)

    def place(self, minute: int) -> float:
        """The same of one moment."""
        return float(self.at(np.array([minute]))[0])


@dataclass(frozen=True)
class Bar:
    """Work between two places, per cent; what follows is waited for up to ``waits``; ``name`` says it all in words."""

    begin: float
    end: float
    waits: float
    letters: str
    name: str
    address: str = ""
    count: int = 1


def lanes_of(begins: Sequence[int], ends: Sequence[int], most: int) -> list[int]:
    """A lane for each span, rising by begin, so that no two overlap; where ``most`` do not do, the one free first."""
    free: list[int] = []
    found = []
    for begin, end in zip(begins, ends, strict=True):
        lane = next((lane for lane, until in enumerate(free) if until <= begin), len(free))
        if lane == most:
            lane = free.index(min(free))
        free[lane : lane + 1] = [end]
        found.append(lane)
    return found


def groups(begins: Sequence[float], ends: Sequence[float]) -> Iterator[tuple[int, int]]:
    """First and last of what is drawn as one bar: neighbours of a lane too small to be told apart."""
    first = 0
    for this in range(1, len(begins) + 1):
        if this < len(begins) and _too_near(begins, ends, this):
            continue
        yield first, this - 1
        first = this


def _too_near(begins: Sequence[float], ends: Sequence[float], this: int) -> bool:
    widths = (ends[this] - begins[this], ends[this - 1] - begins[this - 1])
    return begins[this] - ends[this - 1] < ALONE / 2 and min(widths) < ALONE


@dataclass(frozen=True)
class Mark:
    """A promise: where it lies, per cent, and what it says."""

    place: float
    said: str


def strip(
    lanes: Sequence[Sequence[Bar]], grid: Iterable[float], today: float | None, name: str, mark: Mark | None = None
) -> str:
    """One ``svg`` element of a row, as high as its lanes; ``grid`` are the places of its hairlines."""
    high = AROUND + BAR * max(1, len(lanes))
    parts = [_upright("faint", place) for place in grid]
    parts += [] if today is None else [_upright("centre", today, "today")]
    for lane, bars in enumerate(lanes):
        for bar in bars:
            parts += _bar(bar, AROUND // 2 + lane * BAR)
    parts += [] if mark is None else [_diamond(mark, high)]
    return _frame("strip", high, name, parts)


def scale(days: Iterable[tuple[float, str]], name: str) -> str:
    """The head of the chart: what day begins where."""
    high = AROUND + BAR
    parts = [_upright("faint", place) + _letters(said, _share(place + 0.3), high - 9) for place, said in days]
    return _frame("strip scale", high, name, parts)


def _frame(kind: str, high: int, name: str, parts: Iterable[str]) -> str:
    frame = {"class": kind, "width": "100%", "height": str(high), "role": "group", "aria-label": name}
    return f"<svg{attributes(frame)}>{''.join(parts)}</svg>"


def _upright(kind: str, x: float, what: str = "") -> str:
    place = {"x1": _share(x), "x2": _share(x), "y1": "0", "y2": str(BELOW)}
    return f"<line{attributes({**place, **_stroke(kind), **({'class': what} if what else {})})}/>"


def _bar(bar: Bar, y: int) -> list[str]:
    parts = [_wait(bar.end, bar.waits, y + BAR // 2)] if bar.waits > bar.end else []
    if bar.end <= 0.0 or bar.begin >= 100.0:
        return parts
    wide = max(LEAST, bar.end - bar.begin)
    place = {"x": _share(min(bar.begin, 100.0 - wide)), "y": str(y + 1), "width": _share(wide), "height": str(BAR - 2)}
    letters = _letters(bar.letters, "4", BAR - 6) if wide > LETTERS_FROM else ""
    kind = {"class": "work" if bar.count == 1 else "many"}
    inner = f"<title>{escape(bar.name)}</title>{_filled(bar.count == 1)}{letters}"
    drawn = f"<svg{attributes(kind | place)}>{inner}</svg>"
    if bar.address:
        return [*parts, f"<a{attributes({'href': bar.address, 'aria-label': bar.name, 'tabindex': '-1'})}>{drawn}</a>"]
    return [*parts, f"<g{attributes({'role': 'img', 'aria-label': bar.name, 'tabindex': '-1'})}>{drawn}</g>"]


@lru_cache
def _stroke(kind: str) -> dict[str, str]:
    return Canvas(1.0).stroke(kind)


@lru_cache
def _filled(is_one: bool) -> str:
    drawn = {"width": "100%", "height": "100%", "fill": ink(False), "fill-opacity": "0.16" if is_one else "0.34"}
    return f"<rect{attributes({**drawn, 'stroke': ink(False), 'stroke-width': '1'})}/>"


def _share(per_cent: float) -> str:
    return f"{number(round(per_cent, 3))}%"


def _letters(words: str, x: str, y: int) -> str:
    drawn = {"x": x, "y": str(y), "font-size": "12", "fill": ink(False), "aria-hidden": "true"}
    return f"<text{attributes(drawn)}>{escape(words)}</text>"


def _wait(begin: float, end: float, y: int) -> str:
    place = {"x1": _share(begin), "x2": _share(end), "y1": str(y), "y2": str(y), "class": "wait"}
    return f"<line{attributes({**place, **_stroke('dimension')})}/>"


def _diamond(mark: Mark, high: int) -> str:
    """A square on its corner."""
    frame = {"class": "promise", "x": _share(mark.place), "y": str(high // 2 - 7), "overflow": "visible",
             "role": "img", "aria-label": mark.said}  # fmt: skip
    drawn = {"d": "M0 0L7 7L0 14L-7 7Z", "fill": ink(False, accent=True)}
    return f"<svg{attributes(frame)}><title>{escape(mark.said)}</title><path{attributes(drawn)}/></svg>"
