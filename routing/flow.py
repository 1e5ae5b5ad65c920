"""How instruments flow through the shop: how long they took, how many left, and whether the three figures agree.

Lead time counts calendar days from deposit to despatch, flow time from release to despatch.
**Source** of the check: Little's law, L = λW (J. D. C. Little, Operations Research 9, 1961, 383–387).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np

DAY = timedelta(days=1)
WEEK = timedelta(weeks=1)
AGREES_WITHIN = 0.15
"""Share by which L and λW may differ before it is said. **Source**: common practice, no source."""

FORGOTTEN = 3
"""An instrument on the floor for so many times the P80 flow time is asked after."""

FEWEST = 5
"""Instruments that must have left before their times say anything."""


@dataclass(frozen=True)
class Passage:
    """One instrument's moments: deposit cleared, come to the floor, despatched; None for what has not come."""

    serial: str
    deposit: datetime
    released: datetime | None = None
    despatched: datetime | None = None

    @property
    def lead_days(self) -> float | None:
        """Calendar days from deposit to despatch."""
        return None if self.despatched is None else (self.despatched - self.deposit) / DAY

    @property
    def flow_days(self) -> float | None:
        """Calendar days from release to despatch."""
        if self.despatched is None or self.released is None:
            return None
        return (self.despatched - self.released) / DAY


def percentile(values: Sequence[float], share: float) -> float:
    """The smallest value that at least that share of the values does not exceed (numpy's ``inverted_cdf``).

    Raises ``ValueError`` for no values.
    """
    if not values:
        raise ValueError("no values have no percentile")
    return float(np.percentile(values, 100 * share, method="inverted_cdf"))


@dataclass(frozen=True)
class Month:
    """What left in a calendar month: how many, and P50 and P80 of their days; None where nothing left."""

    first: date
    count: int
    half: float | None
    most: float | None


def trend(left: Iterable[tuple[date, float]], until: date, months: int) -> tuple[Month, ...]:
    """Month by month up to that of ``until``, from the day each instrument left and the days it took."""
    by_month: dict[date, list[float]] = {}
    for day, took in left:
        by_month.setdefault(day.replace(day=1), []).append(took)
    firsts = [until.replace(day=1)]
    while len(firsts) < months:
        firsts.append((firsts[-1] - DAY).replace(day=1))
    return tuple(_month(first, by_month.get(first, [])) for first in reversed(firsts))


def _month(first: date, took: Sequence[float]) -> Month:
    if not took:
        return Month(first, 0, None, None)
    return Month(first, len(took), percentile(took, 0.5), percentile(took, 0.8))


@dataclass(frozen=True)
class Little:
    """L, λ and W of a stretch of time: mean instruments on the floor, left per week, mean flow time in days."""

    on_floor: float
    per_week: float
    flow_days: float
    at_begin: int
    at_end: int
    left: int
    forgotten: tuple[Passage, ...]

    @property
    def expected(self) -> float:
        """Instruments that ought to stand on the floor by throughput and flow time: λW."""
        return self.per_week * self.flow_days / 7

    @property
    def gap(self) -> float:
        """By what share of L the two differ; positive where more stands there than finished ones explain."""
        return (self.on_floor - self.expected) / self.on_floor if self.on_floor else 0.0

    @property
    def agree(self) -> bool:
        return abs(self.gap) <= AGREES_WITHIN

    @property
    def grew(self) -> int:
        """By how many instruments the floor filled in that time."""
        return self.at_end - self.at_begin


def little(passages: Iterable[Passage], begin: datetime, end: datetime) -> Little | None:
    """L against λW between two moments; None where fewer than five instruments left in that time.

    L is the exact mean over time; W is of those that left. Raises ``ValueError`` for an end not after its begin.
    """
    if end <= begin:
        raise ValueError("a stretch of time ends after it begins")
    floor = [one for one in passages if one.released is not None and one.released < end]
    left = [one for one in floor if one.despatched is not None and begin <= one.despatched < end]
    if len(left) < FEWEST:
        return None
    took = [(one.despatched - one.released) / DAY for one in left]
    return Little(
        on_floor=sum((_until(one, begin, end) for one in floor), timedelta()) / (end - begin),
        per_week=len(left) / ((end - begin) / WEEK),
        flow_days=sum(took) / len(took),
        at_begin=sum(_stands(one, begin) for one in floor),
        at_end=sum(_stands(one, end) for one in floor),
        left=len(left),
        forgotten=_forgotten(floor, end, percentile(took, 0.8)),
    )


def _until(one: Passage, begin: datetime, end: datetime) -> timedelta:
    """How long an instrument stood on the floor within the stretch."""
    return max(timedelta(), min(one.despatched or end, end) - max(one.released, begin))


def _stands(one: Passage, at: datetime) -> bool:
    return one.released <= at and (one.despatched is None or one.despatched > at)


def _forgotten(floor: Iterable[Passage], end: datetime, usual: float) -> tuple[Passage, ...]:
    """What stands there so long that it left unseen or was forgotten, oldest first."""
    old = [one for one in floor if _stands(one, end) and (end - one.released) / DAY > FORGOTTEN * usual]
    return tuple(sorted(old, key=lambda one: one.released))
