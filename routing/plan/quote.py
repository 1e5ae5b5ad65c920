"""When one more order would leave: laid into what a plan leaves free, and the chain of work and waits that decides it.

A profile is the shop's places and people after a plan has taken its own. A quote reads it and changes nothing in it.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from routing.plan.flat import AFTER, Flat, desk_for, flatten, plan_on, with_free, with_work
from routing.plan.kernels import insert_kernel, ready_tick
from routing.plan.problem import NONE, Axis, Capacity, Minutes, Plan, PlanRefused, Problem, Ticks, Work
from routing.plan.reasons import reasons_against_work
from routing.plan.serial import require_placed


class Taken(NamedTuple):
    """What work takes, one row a task, in ticks: a place and a person (-1: none) from ``begin`` to ``end``, and where
    it rests a place of ``rest_at`` (-1: nowhere) from ``rest_begin`` to ``rest_end``."""

    station: Ticks
    person: Ticks
    begin: Ticks
    end: Ticks
    rest_at: Ticks
    rest_begin: Ticks
    rest_end: Ticks


@dataclass(frozen=True, eq=False)
class Profile:
    """``flat.free`` and ``flat.hop``: places, then people, left at each tick; tables of waits made once a length."""

    axis: Axis
    capacity: Capacity
    flat: Flat
    _waits: dict[int, tuple[Ticks, Ticks]] = field(default_factory=dict, repr=False)

    def waits(self, minutes: Minutes) -> Ticks:
        """The rows of waits an order needs: from ends of work, then from beginnings (for work of no ticks)."""
        rows = [self._row(int(each)) for each in minutes]
        table = [row[0] for row in rows] + [row[1] for row in rows]
        return np.array(table, dtype=np.int32).reshape(-1, len(self.axis) + 1)

    def _row(self, minutes: int) -> tuple[Ticks, Ticks]:
        if minutes not in self._waits:
            self._waits[minutes] = self.axis.lag_table(minutes), self.axis.lag_table_from_begins(minutes)
        return self._waits[minutes]

    def with_free(self, free: NDArray[np.int16]) -> Profile:
        """The same shop with so much left."""
        return replace(self, flat=with_free(self.flat, free))

    def with_one_more(self, station: int) -> Profile:
        """The same shop with one place more at the station and, where it needs hands, one person more for it, at work
        whenever one of those who may work there is."""
        places, capacity = self.capacity.places.copy(), self.capacity
        places[station] += 1
        able = np.arange(len(places)) == station
        hands = capacity.hands[capacity.able[:, station]].any(axis=0)
        more = Capacity(
            places, np.vstack((capacity.hands, hands)), np.vstack((capacity.able, able)), capacity.needs_hands
        )
        empty = flatten(Problem(self.axis, more, no_work()))
        free = np.vstack((self.flat.free, np.ones((1, len(self.axis)), dtype=np.int16)))
        free[station] += 1
        return Profile(self.axis, more, with_free(empty, free), self._waits)


class Link(NamedTuple):
    """A task of the chain: it could start at ``ready``, ``before`` being what it waited for (-1: its release), with
    ``wait_minutes`` of rest, cure or answer after that; it queued ``start - ready`` ticks, most of them for a place
    where ``for_place``, else for a person."""

    task: int
    before: int
    wait_minutes: int
    ready: int
    start: int
    end: int
    for_place: bool

    @property
    def queue(self) -> int:
        """Ticks it waits for its place or its person."""
        return self.start - self.ready


@dataclass(frozen=True, eq=False)
class QuotedOrder:
    """The order in its place: start, end and person of each task; the end of the last one asked for; why then."""

    plan: Plan
    end: int
    chain: tuple[Link, ...]


def no_work() -> Work:
    """No tasks and no orders."""
    rows = (
        "order",
        "station",
        "ticks",
        "one_day",
        "earliest",
        "after",
        "lag",
        "lag_minutes",
        "release",
        "due",
        "weight",
    )
    return Work(**dict.fromkeys(rows, np.zeros(0)), after_ptr=np.zeros(1))


def empty_profile(axis: Axis, capacity: Capacity) -> Profile:
    """A shop with nothing to do. Raises PlanRefused for capacity that makes no sense."""
    return Profile(axis, capacity, flatten(Problem(axis, capacity, no_work()).check()))


def profile_of(problem: Problem, plan: Plan) -> Profile:
    """What that plan leaves of the shop."""
    return lay(empty_profile(problem.axis, problem.capacity), taken_by(problem, plan))


def taken_by(problem: Problem, plan: Plan) -> Taken:
    """What the tasks of a plan take; one that rests keeps its hook until the wait is over."""
    work, rest_at, rest_end = problem.work, np.full(len(plan.start), NONE, dtype=np.int32), plan.end.copy()
    at = np.where(work.rest_at < 0, work.station, work.rest_at)
    for row in np.unique(work.rests[work.rests >= 0]):
        here = (work.rests == row) & (plan.end > plan.start)
        rest_at[here] = at[here]
        rest_end[here] = problem.axis.lag_table(int(work.lag_minutes[row]))[plan.end[here]]
    rest_begin = np.where(rest_at == work.station, plan.end, plan.start)
    return Taken(work.station, plan.person, plan.start, plan.end, rest_at, rest_begin, rest_end)


def lay(profile: Profile, taken: Taken) -> Profile:
    """A new profile with that taken off too; the given one stays as it is."""
    change = np.zeros((len(profile.flat.free), len(profile.axis) + 1), dtype=np.int32)
    hands, rests = taken.person >= 0, taken.rest_at >= 0
    _take(change, taken.station, taken.begin, taken.end)
    _take(change, len(profile.capacity.needs_hands) + taken.person[hands], taken.begin[hands], taken.end[hands])
    _take(change, taken.rest_at[rests], taken.rest_begin[rests], taken.rest_end[rests])
    return profile.with_free((profile.flat.free + np.cumsum(change, axis=1)[:, :-1]).astype(np.int16))


def _take(change: NDArray[np.int32], row: Ticks, begin: Ticks, end: Ticks) -> None:
    last = change.shape[1] - 1
    some = end > begin
    np.subtract.at(change, (row[some], np.minimum(begin[some], last)), 1)
    np.add.at(change, (row[some], np.minimum(end[some], last)), 1)


def quote(profile: Profile, work: Work, last: int | None = None, *, explain: bool = True) -> QuotedOrder:
    """The order laid into the profile task by task, each at the earliest place left; the profile stays untouched.

    ``last`` is the task whose end is asked for (despatch); without it the one that ends last. Without ``explain`` the
    chain is left out. Raises PlanRefused where
    the work makes no sense, or a task finds no place before the horizon.
    """
    if reasons := reasons_against_work(Problem(profile.axis, profile.capacity, work)):
        raise PlanRefused(reasons)
    flat = with_work(profile.flat, work, profile.waits(work.lag_minutes))
    desk = desk_for(flat)
    anybody = np.full(len(work), NONE, dtype=np.int32)
    require_placed(flat, desk.plan, insert_kernel(flat, desk, np.arange(len(work), dtype=np.int32), anybody))
    plan = plan_on(desk)
    last = int(np.argmax(plan.end)) if last is None else last
    return QuotedOrder(plan, int(plan.end[last]), _chain(flat, plan, work, last) if explain else ())


def _chain(flat: Flat, plan: Plan, work: Work, last: int) -> tuple[Link, ...]:
    """Back from the last task, each time to the one that kept it waiting longest."""
    ends = np.stack((plan.start, plan.end, plan.person))
    chain = [_link(flat, plan, ends, work, last)]
    while chain[-1].before >= 0:
        chain.append(_link(flat, plan, ends, work, chain[-1].before))
    return tuple(reversed(chain))


def _link(flat: Flat, plan: Plan, ends: Ticks, work: Work, task: int) -> Link:
    ready, start = int(ready_tick(flat, ends, task)), int(plan.start[task])
    edges = range(flat.tasks[task, AFTER], flat.tasks[task + 1, AFTER])
    waited = [(int(work.lag_minutes[work.lag[k]]), int(work.after[k])) for k in edges
              if flat.waits[flat.after[k, 1], plan.end[work.after[k]]] == ready]  # fmt: skip
    wait, before = max(waited, default=(0, NONE))
    full = flat.free[work.station[task], ready:start] <= 0
    return Link(task, before, wait, ready, start, int(plan.end[task]), bool(len(full) and full.mean() >= 0.5))
