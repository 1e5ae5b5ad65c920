"""When orders will really leave: the plan dispatched over again with work that takes longer, is redone, is left alone.

The shop does not wait for a late bass: each replication sequences by least slack anew, with the times it drew.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from routing.plan.flat import END, START, Flat, desk_for, flatten, with_hands, with_times
from routing.plan.problem import Problem, Ticks
from routing.plan.queues import Key, dispatch_kernel, queues_for
from routing.plan.reasons import most_ticks
from routing.plan.rules import least_slack

REPLICATIONS = 200
"""The P80 of one order then varies by 0.2 working days from seed to seed. **Source**: the schedule study behind this
program's design, 400 orders (sd 0.47 with 50 replications, 0.31 with 100, 0.19 with 200)."""

CHUNK = 8
"""Replications between two looks at whether to stop."""

DECILES = 2.563103
"""From the 10 % to the 90 % point of a normal distribution, in standard deviations."""

MOST_CV = 1.0
"""Spread beyond this says that somebody guessed. **Source**: common practice, no source."""

Reals = NDArray[np.float64]


@dataclass(frozen=True)
class Spread:
    """What a plan does not know: shares of 1, ``away_days`` in working days.

    ``cv``: spread of a task's time over its mean. **Source**: the schedule study behind this program's design, 0.3.
    ``redone``: tasks done twice; ``redone_coats``: clear coats sprayed and cured again. **Source**: common practice,
    under 8 % is what a shop aims at. ``planned_redone``: how much redoing the planned ticks already contain.
    ``away``: days somebody is ill; ``away_days``: how long it lasts. **Source**: common practice, no source, about
    seven days of 230 a year.
    """

    cv: float = 0.3
    redone: float = 0.03
    redone_coats: float = 0.08
    planned_redone: float = 0.0
    away: float = 0.03
    away_days: float = 3.0


CERTAIN = Spread(0.0, 0.0, 0.0, 0.0, 0.0)
"""Everything as planned."""


class Known(NamedTuple):
    """What is known of each task on its own; None: nothing. ``cv`` of its time, ``pace`` (real over planned ticks),
    ``coats``: whether it is a clear coat."""

    cv: Reals | None = None
    pace: Reals | None = None
    coats: NDArray[np.bool_] | None = None


NOTHING_KNOWN = Known()


@dataclass(frozen=True, eq=False)
class Forecast:
    """``finish[order, replication]``: end (exclusive tick) of each order's last task, rising along each row; T + 1:
    beyond the horizon. ``load[replication, station, week]``: place-ticks taken, pauses and rests included."""

    finish: Ticks
    load: NDArray[np.int32]

    def percentile(self, level: float) -> Ticks:
        """The tick by which each order is done in that share of the replications.

        **Source**: numpy's ``inverted_cdf``, definition 1 of Hyndman and Fan 1996.
        """
        return np.quantile(self.finish, level, axis=1, method="inverted_cdf").astype(np.int32)

    def kept_chance(self, due: ArrayLike) -> Reals:
        """The share of replications in which each order is done by that tick."""
        return np.mean(self.finish <= np.asarray(due)[:, None], axis=1)

    def mean_load(self) -> Reals:
        """Place-ticks of each station and week on average."""
        return self.load.mean(axis=0)

    def high_load(self, level: float = 0.8) -> NDArray[np.int32]:
        """Place-ticks of each station and week that are not exceeded in that share of the replications."""
        return np.quantile(self.load, level, axis=0, method="inverted_cdf").astype(np.int32)


def cv_of(low: ArrayLike, high: ArrayLike, otherwise: float = Spread.cv) -> Reals:
    """Spread over the mean of a lognormal time with those 10 % and 90 % points; ``otherwise`` where there are none.

    **Source**: sigma = ln(high / low) / 2.563, cv = sqrt(exp(sigma²) - 1); Aitchison and Brown, *The Lognormal
    Distribution*, 1957.
    """
    low, high = np.asarray(low, float), np.asarray(high, float)
    is_known = (low > 0) & (high >= low)
    ratio = np.where(is_known, high, 1.0) / np.where(is_known, low, 1.0)
    cv = np.sqrt(np.expm1((np.log(ratio) / DECILES) ** 2))
    return np.where(is_known, np.minimum(cv, MOST_CV), otherwise)


def forecast(
    problem: Problem,
    spread: Spread,
    known: Known = NOTHING_KNOWN,
    *,
    key: Key | None = None,
    replications: int = REPLICATIONS,
    seed: int = 0,
    weeks: ArrayLike | None = None,
    progress: Callable[[float], None] | None = None,
    threads: int | None = None,
) -> Forecast:
    """Replications of what comes of a checked problem, dispatched by least slack or another key of ``rules.py``.

    The same seed gives the same forecast on any number of threads. Frozen work is a fact and takes its planned time.
    ``weeks`` numbers each tick's week (5 working days unless told); ``progress`` hears the share done and may raise to
    stop. Raises PlanRefused where frozen work runs over the horizon.
    """
    draws = _Draws(problem, spread, known)
    one = partial(_replicate, draws, key or least_slack(problem), _week_starts(problem, weeks))
    seeds = np.random.SeedSequence(seed).spawn(replications)
    finish, load = [], []
    for done in _chunks(one, seeds, threads or os.cpu_count() or 1):
        finish += [each for each, _load in done]
        load += [each for _finish, each in done]
        if progress is not None:
            progress(len(finish) / replications)
    return Forecast(np.sort(np.array(finish).T, axis=1), np.array(load))


Outcome = tuple[Ticks, NDArray[np.int32]]
Seeds = Sequence[np.random.SeedSequence]


def _chunks(one: Callable[[Seeds], list[Outcome]], seeds: Seeds, threads: int) -> Iterator[list[Outcome]]:
    """Some replications after another, several at a time; what has not begun is left when nobody listens any more."""
    parts = [seeds[at : at + CHUNK] for at in range(0, len(seeds), CHUNK)]
    with ThreadPoolExecutor(threads) as pool:
        try:
            yield from pool.map(one, parts)
        finally:
            pool.shutdown(wait=False, cancel_futures=True)


def _week_starts(problem: Problem, weeks: ArrayLike | None) -> NDArray[np.int64]:
    week = problem.axis.day // 5 if weeks is None else np.asarray(weeks)
    return np.flatnonzero(np.diff(week, prepend=week[:1] - 1))


class _Draws:
    """The problem with each wait there twice over, once as long again; and what tasks may take."""

    def __init__(self, problem: Problem, spread: Spread, known: Known) -> None:
        work, count = problem.work, len(problem.work)
        self.rows = len(work.lag_minutes)
        doubled = replace(work, lag_minutes=np.concatenate((work.lag_minutes, 2 * work.lag_minutes)))
        self.problem, self.spread = replace(problem, work=doubled), spread
        self.flat = flatten(self.problem)
        self.coats = np.zeros(count, dtype=bool) if known.coats is None else known.coats
        self.redone = np.where(self.coats, spread.redone_coats, spread.redone)
        self.sigma = np.sqrt(np.log1p((spread.cv if known.cv is None else known.cv) ** 2)) * np.ones(count)
        pace = 1.0 if known.pace is None else known.pace
        self.mean = work.ticks * pace / (1 + spread.planned_redone)
        self.most = np.maximum(_most_ticks(problem), work.ticks)
        self.is_free = (work.fixed < 0) & (work.ticks > 0)

    def flat_of(self, dice: np.random.Generator) -> Flat:
        """The problem with times drawn."""
        again = (dice.random(len(self.mean)) < self.redone) & self.is_free
        drawn = self.mean * np.exp(self.sigma * dice.standard_normal(len(self.mean)) - self.sigma**2 / 2)
        whole = np.floor(drawn * (1 + again) + dice.random(len(drawn)))
        work = self.problem.work
        ticks = np.where(self.is_free, np.clip(whole, 1, self.most), work.ticks).astype(np.int32)
        cured = again & self.coats
        rests = work.rests + self.rows * (cured & (work.rests >= 0))
        lag = self.flat.after[:, 1] + self.rows * cured[self.flat.after[:, 0]]
        return with_times(self._with_absences(dice), ticks, rests, lag)

    def _with_absences(self, dice: np.random.Generator) -> Flat:
        hands, day = self.problem.capacity.hands, self.problem.axis.day
        if not len(hands) or not self.spread.away:
            return self.flat
        shape, days = (len(hands), int(day[-1]) + 1), np.arange(int(day[-1]) + 1)
        falls_ill = dice.random(shape) < self.spread.away / self.spread.away_days
        until = days + falls_ill * dice.geometric(1 / self.spread.away_days, shape)
        away = days < np.maximum.accumulate(until, axis=1)
        return with_hands(self.flat, hands & ~away[:, day])


def _most_ticks(problem: Problem) -> NDArray[np.int64]:
    """The longest each task could be and still find a place."""
    ends, work = problem.axis.day_ends(), problem.work
    runs = {station: most_ticks(problem.capacity, station, ends) for station in np.unique(work.station).tolist()}
    rows = np.array([runs[station] for station in work.station.tolist()], dtype=np.int64).reshape(-1, 2)
    return np.where(work.one_day, rows[:, 1], rows[:, 0])


def _replicate(draws: _Draws, key: Key, weeks: NDArray[np.int64], seeds: Seeds) -> list[Outcome]:
    """One outcome a seed, on a desk of their own."""
    desk, queues = desk_for(draws.flat), queues_for(draws.flat)
    places, found = draws.problem.capacity.places, []
    for seed in seeds:
        dispatch_kernel(draws.flat_of(np.random.default_rng(seed)), desk, queues, key)
        taken = places - desk.free[: len(places)]
        found.append((_finish(draws.problem, desk.plan), np.add.reduceat(taken, weeks, axis=1, dtype=np.int32)))
    return found


def _finish(problem: Problem, plan: Ticks) -> Ticks:
    """The end of each order; T + 1 where a task of it found no place."""
    beyond = len(problem.axis) + 1
    ends = problem.work.release.copy()
    np.maximum.at(ends, problem.work.order, np.where(plan[START] < 0, beyond, plan[END]))
    return ends
