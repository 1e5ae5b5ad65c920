"""What a trial plan changes, as changes of the problem: hands, places, hours, closed days, who goes first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from routing.plan.cost import cost_of
from routing.plan.problem import NONE, TICK_MINUTES, Axis, Capacity, Minutes, Plan, Problem, Ticks, Work
from routing.plan.serial import insert

RUSH_WEIGHT = 100.0
"""The weight of the one order that carries the rush tag; so much no other order weighs."""


@dataclass(frozen=True, eq=False)
class Ground:
    """A problem, and the local day (days since 1970) of each of its ticks."""

    problem: Problem
    local_day: NDArray[np.int64]


def one_more_person(ground: Ground, like: int, first_day: int) -> Ground:
    """Somebody more from that day on, last in the crew: able to what ``like`` is, there when ``like`` is."""
    capacity = ground.problem.capacity
    hands = capacity.hands[like] & (ground.local_day >= first_day)
    return _with_capacity(
        ground, hands=np.vstack((capacity.hands, hands)), able=np.vstack((capacity.able, capacity.able[like]))
    )


def one_more_place(ground: Ground, station: int, first_day: int) -> Ground:
    """A place more at the station from that day on."""
    places = ground.problem.capacity.places.copy()
    places[station, ground.local_day >= first_day] += 1
    return _with_capacity(ground, places=places)


def _with_capacity(ground: Ground, **changes: object) -> Ground:
    capacity = replace(ground.problem.capacity, **changes)
    return replace(ground, problem=replace(ground.problem, capacity=capacity))


def more_hours(ground: Ground, hours: Mapping[int, Minutes], days: Mapping[int, NDArray[np.int64]]) -> Ground:
    """People at work in further ticks: by row of the person the clock minutes they begin at, and their local days.

    A quarter-hour nobody worked before is a new tick of its day; the places are those of the tick before it.
    """
    wanted = np.concatenate([[], *hours.values()]).astype(np.int64)
    its_day = np.concatenate([[], *days.values()]).astype(np.int64)
    begins, at = np.unique(wanted, return_index=True)
    new = ~np.isin(begins, ground.problem.axis.begins)
    wider = _with_ticks(ground, begins[new], its_day[at][new])
    hands = wider.problem.capacity.hands.copy()
    for person, minutes in hours.items():
        hands[person, np.searchsorted(wider.problem.axis.begins, minutes)] = True
    return _with_capacity(wider, hands=hands)


def _with_ticks(ground: Ground, begins: Minutes, days: NDArray[np.int64]) -> Ground:
    old, capacity = ground.problem.axis, ground.problem.capacity
    joined = np.concatenate((old.begins, begins))
    order = np.argsort(joined, kind="stable")
    local = np.concatenate((ground.local_day, days))[order]
    ends = np.concatenate((old.ends, begins + TICK_MINUTES))[order]
    axis = replace(old, begins=joined[order], ends=ends, day=np.unique(local, return_inverse=True)[1])
    before = np.searchsorted(old.begins, axis.begins, side="right") - 1
    hands = capacity.hands[:, before.clip(0)] & np.isin(axis.begins, old.begins)
    wider = replace(capacity, places=capacity.places[:, before.clip(0)], hands=hands)
    moved = np.append(np.searchsorted(axis.begins, old.begins), len(axis))
    moved[0] = 0
    work = _moved(ground.problem.work, moved, _ends_of_days(ground.local_day, local))
    return Ground(Problem(axis, wider, work), local)


def _ends_of_days(was: NDArray[np.int64], now: NDArray[np.int64]) -> NDArray[np.int64]:
    """For each exclusive end among the old ticks the end of the same day among the new ones; the horizon stays it."""
    ends = np.searchsorted(now, was, side="right")
    return np.concatenate(([0], ends[:-1], [len(now)])) if len(was) else np.zeros(1, dtype=np.int64)


def _moved(work: Work, starts: NDArray[np.int64], ends: NDArray[np.int64]) -> Work:
    return replace(
        work,
        earliest=_renamed(work.earliest, starts),
        release=_renamed(work.release, starts),
        fixed=_renamed(work.fixed, starts),
        due=_renamed(work.due, ends),
    )


def _renamed(ticks: Ticks, names: NDArray[np.int64]) -> NDArray[np.int64]:
    """What is below zero (none, overdue) stays what it is."""
    return np.where(ticks < 0, ticks, names[ticks.clip(0, len(names) - 1)])


def closed(ground: Ground, first_day: int, last_day: int) -> Ground:
    """The shop closed on those local days: their ticks are no more. Frozen work that reaches into them is free."""
    axis, capacity = ground.problem.axis, ground.problem.capacity
    open_ = (ground.local_day < first_day) | (ground.local_day > last_day)
    work = _not_frozen_beyond(ground.problem.work, int(np.argmin(open_)) if not open_.all() else len(axis))
    kept = np.concatenate(([0], np.cumsum(open_)))
    local = ground.local_day[open_]
    shorter = Axis(
        axis.begins[open_], axis.ends[open_], np.unique(local, return_inverse=True)[1], axis.ticks_a_day
    )  # fmt: skip
    left = Capacity(capacity.places[:, open_], capacity.hands[:, open_], capacity.able, capacity.needs_hands)
    return Ground(Problem(shorter, left, _moved(work, kept, kept)), local)


def _not_frozen_beyond(work: Work, tick: int) -> Work:
    reaches = (work.fixed != NONE) & (work.fixed + work.ticks > tick)
    return replace(
        work, fixed=np.where(reaches, NONE, work.fixed), fixed_person=np.where(reaches, NONE, work.fixed_person)
    )


def with_rush(problem: Problem, orders: NDArray[np.int64]) -> Problem:
    """Those orders carry the rush tag."""
    weight = problem.work.weight.copy()
    weight[orders] = RUSH_WEIGHT
    return replace(problem, work=replace(problem.work, weight=weight))


def rush_tasks(problem: Problem) -> NDArray[np.bool_]:
    """Tasks of orders with the rush tag, and all these wait for."""
    work = problem.work
    found = (work.weight >= RUSH_WEIGHT)[work.order]
    for task in np.arange(len(work))[::-1] if found.any() else ():
        if found[task]:
            found[work.after[work.after_ptr[task] : work.after_ptr[task + 1]]] = True
    return found


def to_the_front(problem: Problem, sequence: NDArray[np.int64]) -> NDArray[np.int64]:
    """The sequence with what has the rush tag before everything else."""
    first = rush_tasks(problem)[sequence]
    return np.concatenate((sequence[first], sequence[~first]))


def rush_first(problem: Problem, plan: Plan) -> Plan:
    """The plan made anew with the rush tag first in every queue; the same plan where nothing has it.

    It goes before other work only where both could begin: cures, rests and transits last as long as for any other.
    """
    first = rush_tasks(problem)
    if not first.any():
        return plan
    sequence = to_the_front(problem, np.lexsort((np.arange(len(plan.start)), plan.start)))
    anybody = insert(problem, sequence)
    same = insert(problem, sequence, np.where(first, NONE, plan.person))
    return min(anybody, same, key=lambda one: cost_of(problem, one, "convex"))
