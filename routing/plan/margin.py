"""How many days a promise gets beyond the day the plan says, learned from promises that came due.

The plan knows neither rework nor later arrivals that push earlier work back; the margin is what these cost, at a
share of promises kept that the shop chooses.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FEWEST = 30
"""Promises that must have come due before the shop's own record counts."""

WINDOW = 30
"""The latest promises whose quantile counts: a shop changes."""

REPLAYED = 240
"""How far back the correction is followed."""

STEP = 0.06
"""How far one promise moves the correction, as a share of the spread of the window (P90 - P10)."""

STEADY_DAYS = 10.0
"""Errors grow with the days ahead, and count as shares of these and ten days more: what a slow station costs near dates
too. **Source**: the best of 5, 10 and 20 in this program's own backtest of eight invented histories.
"""

PRIOR_SHARE = 0.08
PRIOR_LEAST = 5.0
"""Until anything is known: 8 % of the days to the date at a level of 80 %, and 5 days at least.

**Source**: the schedule study of 100 open and 300 arriving orders behind this program's design, where a margin of
5.5 days on 82 kept 70 % of the dates; rounded up to reach 80 %.
"""


@dataclass(frozen=True)
class Kept:
    """One promise that came due, in calendar days from the day it was given: by the plan, promised, and as it was."""

    bare: float
    promised: float
    finished: float

    @property
    def error(self) -> float:
        """Days it left after the plan's day; negative: before."""
        return self.finished - self.bare

    @property
    def share(self) -> float:
        """The error as a share of the days it was ahead."""
        return self.error / reach(self.bare)

    @property
    def is_kept(self) -> bool:
        return self.finished <= self.promised


LEVELS = (0.5, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 0.99)
"""Service levels a table of margins knows; between two of them it is read in proportion."""

STEPS = 6
"""Rows of a table of margins: the nearest sixth of the orders, the next, and so on."""


@dataclass(frozen=True)
class MarginTable:
    """Margins by a forecast: ``days[row][level]`` beyond the plan's day for orders ``ahead[row]`` days off."""

    ahead: tuple[float, ...]
    days: tuple[tuple[float, ...], ...]

    def at(self, level: float, days_away: float) -> float:
        """Calendar days to add for a level and a date so many days away, read in proportion."""
        of_rows = [float(np.interp(level, LEVELS, row)) for row in self.days]
        return float(np.interp(days_away, self.ahead, of_rows))


def margin_table(ahead: NDArray[np.float64], beyond: NDArray[np.float64]) -> MarginTable | None:
    """Orders ``ahead[order]`` calendar days away by the plan, that left ``beyond[order, replication]`` days after it.

    None without orders. **Source**: numpy's ``inverted_cdf`` over all replications of each row's orders.
    """
    parts = [part for part in np.array_split(np.argsort(ahead, kind="stable"), STEPS) if len(part)]
    if not parts:
        return None
    rows = [np.quantile(beyond[part].ravel(), LEVELS, method="inverted_cdf") for part in parts]
    return MarginTable(
        tuple(float(np.mean(ahead[part])) for part in parts), tuple(tuple(map(float, row)) for row in rows)
    )


@dataclass(frozen=True)
class Margin:
    """Calendar days to add, where they come from, from how many promises, and the share of them kept."""

    days: float
    source: str
    records: int
    kept_share: float | None


def margin(level: float, records: Sequence[Kept], forecast: float | None, days_away: float = 0.0) -> Margin:
    """The days to add at a service level for a date so many calendar days away; never less than none.

    ``records`` in the order they came due; ``forecast`` the level's quantile of the plan's own simulation in days
    beyond the plan, None where there is none. From 30 records on their own: the level's quantile of
    finish - plan as a share of the days ahead, corrected online. Raises ``ValueError`` for a level that is no share.
    """
    if not 0 < level < 1:
        raise ValueError(f"a service level lies between 0 and 1, not at {level}")
    latest = records[-WINDOW:]
    share = sum(each.is_kept for each in latest) / len(latest) if latest else None
    if len(records) < FEWEST:
        days = max(forecast, 0.0) if forecast is not None else prior(level, days_away)
        return Margin(days, "prior" if forecast is None else "forecast", len(records), share)
    days = learned(level, [each.share for each in records]) * reach(days_away)
    return Margin(max(0.0, days), "record", len(records), share)


def reach(days_away: float) -> float:
    """The days an error is a share of, for a date so many days ahead."""
    return STEADY_DAYS + max(0.0, days_away)


def prior(level: float, days_away: float) -> float:
    """The margin of a shop without a record: more for dates farther away and for higher levels."""
    return max(PRIOR_LEAST, PRIOR_SHARE * days_away) * math.log(1 - level) / math.log(1 - 0.8)


def learned(level: float, errors: Sequence[float]) -> float:
    """The level's quantile of the latest errors, and what following the earlier ones adds: each that the margin of its
    day would have missed moves the correction up, each it would have kept moves it down a little, so that the share
    kept tends to the level whatever the errors do.

    **Source**: numpy's ``inverted_cdf``; the correction is online quantile tracking (Gibbs and Candès, *Adaptive
    conformal inference under distribution shift*, 2021).
    """
    known = np.array(errors[-REPLAYED - FEWEST :], dtype=float)
    quantile, low, high = _windows(known, (level, 0.1, 0.9))
    correction = 0.0
    for count in range(min(FEWEST, len(known)), len(known)):
        is_missed = known[count] > quantile[count] + correction
        correction += STEP * (high[count] - low[count]) * (float(is_missed) - (1 - level))
    return float(quantile[len(known)] + correction)


def _windows(errors: NDArray[np.float64], levels: Sequence[float]) -> list[NDArray[np.float64]]:
    """For each level its quantile of the latest errors, when 0, 1, 2, ... of them were known."""
    padded = np.concatenate((np.full(WINDOW, np.nan), errors))
    rows = np.sort(np.lib.stride_tricks.sliding_window_view(padded, WINDOW), axis=1)
    count = np.minimum(np.arange(len(rows)), WINDOW)
    return [
        rows[np.arange(len(rows)), np.maximum(np.ceil(level * count - 1e-9).astype(int) - 1, 0)] for level in levels
    ]
