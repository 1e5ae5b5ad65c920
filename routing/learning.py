"""What finished work says about the hours of an operation: real hands-on hours, sifted, against the estimate."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np

from routing.catalogue import Touch
from routing.workdays import WorkCalendar

LOW, USUAL, HIGH = 0.10, 0.50, 0.90
"""Shares of finished tasks below low, usual and high. **Source**: common practice, no source."""

CUT = 3.5
"""A task is left out where its modified z-score is beyond this. **Source**: Iglewicz and Hoaglin 1993, as recommended
in NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17."""

TO_SIGMA = 0.6745
"""Median absolute deviation of a normal distribution in standard deviations. **Source**: the same page."""

LEAST_SPREAD = 0.05
"""Hours nearer to one another than about 5 % count as spread that much, or a steady hand's next task were left out.
**Source**: common practice, no source."""

SHORTEST_H = 1 / 60
"""Start and Done within a minute were pressed together: that is no time. **Source**: common practice, no source."""

FEWEST = 5
"""Tasks that must remain before anything is proposed. **Source**: common practice, no source."""

OLD_WEIGHT = 8
"""The estimate before counts as so many tasks. **Source**: common practice, no source."""

WORTH_SAYING = Touch(0.5, 0.1, 1.0)
"""Least change of low, usual and high worth a proposal, as shares of the usual hours: those make the dates, the others
only their spread. **Source**: common practice, no source."""

Stint = tuple[datetime, datetime]


@dataclass(frozen=True)
class Evidence:
    """Hours that count, rising, and those left out as far off; how many had no time, or one pressed together."""

    kept: tuple[float, ...]
    far_off: tuple[float, ...]
    untimed: int
    pressed_together: int

    @property
    def median(self) -> float:
        """The middle of the hours that count."""
        return percentile(self.kept, USUAL)

    @property
    def left_out(self) -> int:
        """How many finished tasks do not count."""
        return len(self.far_off) + self.untimed + self.pressed_together


def stints(presses: Iterable[tuple[str, datetime]]) -> list[Stint]:
    """The times on the bench from the log of one task, oldest first, without what was taken back.

    A start opens a stint; a pause, a hold or Done closes it.
    """
    found: list[Stint] = []
    opened: datetime | None = None
    for kind, at in presses:
        if kind == "started":
            opened = at
        elif opened is not None and kind in ("paused", "held", "done"):
            found.append((opened, at))
            opened = None
    return found


def worked_h(times: Iterable[Stint], calendar: WorkCalendar) -> float:
    """Hands-on hours: a stint that ends on the day it began counts by the clock but for the rest at noon it runs
    across, so that an evening's work is work; one over a night or a weekend counts its working time only, for nobody
    stood there all the time."""
    zone = ZoneInfo(calendar.zone)
    return sum(_stint_h(begin, end, zone, calendar) for begin, end in times)


def _stint_h(begin: datetime, end: datetime, zone: ZoneInfo, calendar: WorkCalendar) -> float:
    day = begin.astimezone(zone).date()
    if day != end.astimezone(zone).date():
        return calendar.work_between(begin, end)
    rests = ((closed, opens) for (_, closed), (opens, _) in pairwise(calendar.openings(day)))
    across = sum((opens - closed for closed, opens in rests if begin <= closed and opens <= end), timedelta())
    return (end - begin - across) / timedelta(hours=1)


def sifted(hours: Iterable[float | None]) -> Evidence:
    """Hours of finished tasks parted into those that count and those left out; None is a task without a time.

    A forgotten stop button makes one task many times too long; so the cut is on the logarithm, about the median,
    where the forgotten ones themselves do not move it while they are fewer than half.
    """
    given = list(hours)
    timed = sorted(hour for hour in given if hour is not None)
    real = [hour for hour in timed if hour >= SHORTEST_H]
    near = _near(real)
    return Evidence(
        kept=tuple(hour for hour, is_near in zip(real, near, strict=True) if is_near),
        far_off=tuple(hour for hour, is_near in zip(real, near, strict=True) if not is_near),
        untimed=len(given) - len(timed),
        pressed_together=len(timed) - len(real),
    )


def _near(hours: Sequence[float]) -> list[bool]:
    if not hours:
        return []
    logs = np.log(np.asarray(hours))
    away = np.abs(logs - np.median(logs))
    spread = max(float(np.median(away)), TO_SIGMA * LEAST_SPREAD)
    return [bool(near) for near in TO_SIGMA * away / spread <= CUT]


def percentile(hours: Sequence[float], share: float) -> float:
    """The smallest of the values that has at least that share at or below it; a value that was really measured.

    Raises ``ValueError`` for no values.
    """
    if not hours:
        raise ValueError("no hours, no percentile")
    return float(np.quantile(np.asarray(hours), share, method="inverted_cdf"))


def proposed(evidence: Evidence, before: Touch) -> Touch | None:
    """Low, usual and high hours the evidence asks for; None while there is too little of it.

    With few tasks the estimate before still counts: n tasks weigh n, the estimate weighs ``OLD_WEIGHT``.
    """
    count = len(evidence.kept)
    if count < FEWEST:
        return None
    weight = count / (count + OLD_WEIGHT)
    measured = (percentile(evidence.kept, share) for share in (LOW, USUAL, HIGH))
    return Touch(*(round(weight * new + (1 - weight) * old, 2) for new, old in zip(measured, before, strict=True)))


def is_worth_saying(new: Touch, now: Touch) -> bool:
    """Whether the hours would change by enough to trouble a person with it."""
    rows = zip(new, now, WORTH_SAYING, strict=True)
    return any(abs(one - other) > least * now.usual for one, other, least in rows)


def unit_time(first: float, unit: int, rate: float) -> float:
    """Time of the n-th unit where every doubling of their number multiplies a unit's time by ``rate``.

    The unit model, not Wright's of 1936, in which the *average* of all so far falls at that rate.
    **Source**: M. Wideman, *Learning Curve Mathematics*, model B (log linear, unit). Raises ``ValueError`` for a
    unit below 1 or a rate outside 0 to 1.
    """
    if unit < 1 or not 0 < rate <= 1:
        raise ValueError("units count from 1; a rate lies between 0 and 1")
    return first * unit ** float(np.log2(rate))


def fitted_rate(times: Sequence[float]) -> float:
    """The rate of the unit model nearest to times in the order they were lived, by least squares of logarithms.

    At most 1: hands do not unlearn. Raises ``ValueError`` for fewer than two times or one that is not above 0.
    """
    if len(times) < 2 or min(times) <= 0:
        raise ValueError("a rate needs two times at least, all above 0")
    units, logs = np.log2(np.arange(1, len(times) + 1)), np.log2(np.asarray(times))
    slope = float(np.polynomial.polynomial.polyfit(units, logs, 1)[1])
    return min(1.0, 2.0**slope)
