"""An invented shop lived for two years: orders come, each gets its date as the program gives it, and the work is done.

The dates: the published plan's free places, then the margin of the promises that came due so far. The real work takes
other times than planned, some of it is done twice, and from a day on one station may be slower than anybody noted.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import floor

import numpy as np

from routing.plan.forecast import Spread, forecast
from routing.plan.margin import FEWEST, Kept, MarginTable, margin, margin_table
from routing.plan.problem import NONE, Axis, Capacity, Plan, Problem, Work
from routing.plan.quote import empty_profile, profile_of, quote
from routing.plan.rules import least_slack
from routing.plan.serial import dispatch

DAY = 32
YEARS_DAYS, TAIL_DAYS = 500, 150
PLACES = (1, 2, 1, 2, 1, 2)
SLOW_STATION = 2
ROUTE = ((0, 10), (0, 8), (1, 20), (1, 16), (2, 14), (2, 10), (3, 24), (3, 14), (4, 22), (5, 30), (5, 14))
"""Station and mean ticks of each step; the third station is the one that holds everything up."""

WAIT_DAYS = (0, 1, 3, 0, 2, 0, 7, 0, 0, 1)
"""Calendar days after each step before the next."""

EVERY = 30.0
"""Mean ticks between two orders: the busiest station is then at 80 % with rework."""

CV, REWORK = 0.3, 0.08
FIRST_COUNTED_DAY = 60
FORECAST_EVERY = 8
MINUTES_A_DAY = 24 * 60


def axis() -> Axis:
    """Two years of five-day weeks and some time after them."""
    days = np.arange(YEARS_DAYS + TAIL_DAYS)
    begins = ((days + days // 5 * 2)[:, None] * MINUTES_A_DAY + 8 * 60 + 15 * np.arange(DAY)).ravel()
    return Axis(begins, begins + 15, np.repeat(days, DAY))


@dataclass
class Order:
    """One order: when it came, what was planned of it and what it really took, when its tasks began, its date."""

    at: int
    planned: np.ndarray
    real: np.ndarray
    start: np.ndarray
    due: int = 0
    bare: int = 0
    promised: int = 0

    def done_at(self) -> int | None:
        """The end of its last task; None while one has not begun."""
        return int((self.start + self.real).max()) if (self.start >= 0).all() else None


@dataclass
class Shop:
    """The shop as it stands; ``level`` is the share of promises it wants to keep, ``lives`` working days."""

    seed: int
    slow_from: int | None = None
    slower: float = 1.25
    level: float = 0.8
    lives: int = YEARS_DAYS
    orders: list[Order] = field(default_factory=list)
    now: int = 0
    table: MarginTable | None = None

    def __post_init__(self) -> None:
        self.dice, self.axis = np.random.default_rng(self.seed), axis()
        self.capacity = Capacity.without_people(np.repeat(np.array(PLACES)[:, None], len(self.axis), axis=1))
        self.days = self.axis.begins // MINUTES_A_DAY

    def live(self) -> list[tuple[int, bool]]:
        """Two years; the day each counted promise was given, and whether it was kept."""
        tick = 0
        while (tick := tick + 1 + int(self.dice.exponential(EVERY))) < self.lives * DAY:
            self.work_until(tick)
            self.orders.append(self.new_order(tick))
            self.promise(self.orders[-1])
        self.work_until(len(self.axis))
        counted = [each for each in self.orders if each.at >= FIRST_COUNTED_DAY * DAY]
        return [(each.at // DAY, int(self.days[each.done_at() - 1]) <= each.promised) for each in counted]

    def new_order(self, tick: int) -> Order:
        mean = np.array([ticks for _station, ticks in ROUTE]) * self.dice.uniform(0.7, 1.3)
        sigma = np.sqrt(np.log1p(CV**2))
        drawn = mean * np.exp(sigma * self.dice.standard_normal(len(mean)) - sigma**2 / 2)
        drawn *= 1 + (self.dice.random(len(mean)) < REWORK)
        if self.slow_from is not None and tick >= self.slow_from * DAY:
            drawn[[station == SLOW_STATION for station, _ticks in ROUTE]] *= self.slower
        planned = np.ceil(mean * (1 + REWORK) - 1e-9).astype(int)
        return Order(tick, planned, np.maximum(np.rint(drawn), 1).astype(int), np.full(len(mean), NONE))

    def open_orders(self, tick: int) -> list[Order]:
        """Orders with work still to be done then."""
        return [each for each in self.orders if (done := each.done_at()) is None or done > tick]

    def work_until(self, tick: int) -> None:
        """Whoever must begin first begins first; what takes longer keeps its place as long as it takes."""
        here = self.open_orders(self.now)
        if here:
            problem = self.problem(here, [each.real for each in here], self.now)
            expected = self.problem(here, [each.planned for each in here], self.now)
            starts = dispatch(problem, least_slack(expected)).start.reshape(len(here), -1)
            for each, start in zip(here, starts, strict=True):
                each.start = np.where(start < tick, start, NONE)
        self.now = tick

    def problem(self, orders: list[Order], ticks: list[np.ndarray], earliest: int) -> Problem:
        """Those orders as a problem, begun work where it is."""
        count, steps = len(orders), len(ROUTE)
        fixed = np.concatenate([each.start for each in orders])
        first = np.arange(count * steps) % steps == 0
        before = np.flatnonzero(~first) - 1
        lags = sorted(set(WAIT_DAYS))
        work = Work(
            order=np.repeat(np.arange(count), steps),
            station=np.tile([station for station, _ticks in ROUTE], count),
            ticks=np.concatenate(ticks), one_day=np.zeros(count * steps),
            earliest=np.full(count * steps, earliest),
            after_ptr=np.concatenate(([0], np.cumsum(~first))), after=before,
            lag=np.tile([lags.index(days) for days in WAIT_DAYS], count), lag_minutes=np.array(lags) * MINUTES_A_DAY,
            release=[each.at for each in orders], due=[each.due for each in orders], weight=np.ones(count),
            fixed=fixed,
        )  # fmt: skip
        return Problem(self.axis, self.capacity, work)

    def plan(self, tick: int) -> tuple[Problem, Plan] | None:
        """The backlog as the program sees it then: what is done took what it took, the rest as planned."""
        here = [each for each in self.open_orders(tick) if each.due]
        if not here:
            return None
        ticks = []
        for each in here:
            over = (each.start >= 0) & (each.start + each.real <= tick)
            running = np.maximum(each.planned, np.where(each.start >= 0, tick - each.start + 1, 0))
            ticks.append(np.where(over, each.real, running))
        problem = self.problem(here, ticks, tick)
        return problem, dispatch(problem, least_slack(problem))

    def promise(self, order: Order) -> None:
        """The plan's free places, the margin, the date."""
        own = self.problem([order], [order.planned], order.at)
        planned = self.plan(order.at)
        profile = profile_of(*planned) if planned else empty_profile(self.axis, self.capacity)
        free = replace(own.work, fixed=np.full(len(ROUTE), NONE))
        end = quote(profile, free, explain=False).end
        today, bare = int(self.days[order.at]), int(self.days[end - 1])
        known = self.known(today)
        if planned and len(known) < FEWEST and len(self.orders) % FORECAST_EVERY == 0:
            self.table = self.forecast_of(*planned, today)
        told = None if self.table is None else self.table.at(self.level, bare - today)
        added = margin(self.level, known, told, bare - today)
        order.due = int(np.searchsorted(self.days, bare + floor(added.days + 1e-9), side="right"))
        first = min(int(np.searchsorted(self.days, bare + floor(added.days + 1e-9))), len(self.days) - 1)
        order.bare, order.promised = bare, int(self.days[first])

    def known(self, today: int) -> list[Kept]:
        """The record: what has left, and what should have and is still here, in the order it came due."""
        rows = []
        for each in self.orders[:-1]:
            given, done = int(self.days[each.at]), each.done_at()
            left = int(self.days[done - 1]) if done is not None and done <= self.now else None
            if left is not None or each.promised < today:
                seen = today if left is None else left
                rows.append((seen, Kept(each.bare - given, each.promised - given, seen - given)))
        return [kept for _seen, kept in sorted(rows, key=lambda row: row[0])]

    def forecast_of(self, problem: Problem, plan: Plan, today: int) -> MarginTable | None:
        """Margins of the plan dispatched over again."""
        found = forecast(problem, Spread(CV, REWORK, REWORK, REWORK, 0), replications=40, seed=self.seed, threads=1)
        ends = np.maximum.reduceat(plan.end, np.arange(0, len(plan.end), len(ROUTE)))
        day = np.append(self.days, self.days[-1])
        bare = day[ends - 1]
        return margin_table((bare - today).astype(float), (day[found.finish - 1] - bare[:, None]).astype(float))
