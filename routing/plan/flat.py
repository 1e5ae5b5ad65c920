"""A planning problem as flat arrays for the inner loops, and the desk on which they make a plan."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from routing.plan.problem import NONE, Plan, PlanRefused, Problem, Ticks, Work
from specs.errors import Problem as Reason

STATION, TICKS, ONE_DAY, READY, RESTS, REST_AT, AFTER, THEN = range(8)
START, END, PERSON = range(3)


class Flat(NamedTuple):
    """A problem the inner loops read and never change; T ticks, n tasks.

    ``free[row, tick]``: places of each station, then each person (1: not booked; absence is not a booking), without
    what frozen work takes. ``hop[row, tick]``: the tick itself, or a later one with nothing free in between; T + 1
    long. ``tasks[task, column]``, with one row more at the end: ``AFTER`` and ``THEN`` say where its part of ``after``
    (task, row of ``waits``) and of ``then`` (tasks after it) begins; ``RESTS`` is a row of ``waits`` or -1. ``waits``
    as in ``Axis.lag_table``. ``hands_of``: the people of a station from ``hands_ptr`` on, the least widely able first.
    ``worked[person, tick]``: ticks at work before that one; ``moments[person, k]``: the k-th tick at work, then T.
    ``plan``: rows ``START``, ``END``, ``PERSON`` of frozen work, else -1.
    """

    free: NDArray[np.int16]
    hop: Ticks
    tasks: Ticks
    after: Ticks
    then: Ticks
    waits: Ticks
    day_end: Ticks
    hands_ptr: Ticks
    hands_of: Ticks
    worked: Ticks
    moments: Ticks
    plan: Ticks


class Desk(NamedTuple):
    """Where one plan is made; used again and again, by one thread at a time.

    ``free`` and ``hop`` as in ``Flat``, with all work placed so far taken off; ``plan``: rows ``START``, ``END``,
    ``PERSON``, -1 where a task has no place yet.
    """

    free: NDArray[np.int16]
    hop: Ticks
    plan: Ticks


def flatten(problem: Problem) -> Flat:
    """The arrays of a checked problem, frozen work booked. Raises PlanRefused where that runs over the horizon."""
    capacity, axis, work = problem.capacity, problem.axis, problem.work
    people = np.ones(capacity.hands.shape, dtype=np.int16)
    then_ptr, then = _followers(work)
    hands_ptr, hands_of = _hands(problem)
    flat = Flat(
        free=np.concatenate((capacity.places, people)),
        hop=np.zeros((len(capacity.places) + len(people), len(axis) + 1), dtype=np.int32),
        tasks=_task_rows(work, then_ptr),
        after=np.stack((work.after, _lag_rows(work)), axis=1),
        then=then,
        waits=_waits(problem),
        day_end=axis.day_ends(),
        hands_ptr=hands_ptr,
        hands_of=hands_of,
        worked=np.cumsum(np.pad(capacity.hands, ((0, 0), (1, 0))), axis=1, dtype=np.int32),
        moments=_moments(capacity.hands),
        plan=np.full((3, len(work)), NONE, dtype=np.int32),
    )
    _book_frozen(flat, work)
    flat.hop[:] = _hops(flat.free)
    return flat


def with_work(flat: Flat, work: Work, waits: Ticks) -> Flat:
    """The same shop with that work, none of it frozen, in place of its own; ``waits`` as ``flatten`` makes them."""
    then_ptr, then = _followers(work)
    return flat._replace(
        tasks=_task_rows(work, then_ptr),
        after=np.stack((work.after, _lag_rows(work)), axis=1),
        then=then,
        waits=waits,
        plan=np.full((3, len(work)), NONE, dtype=np.int32),
    )


def with_free(flat: Flat, free: NDArray[np.int16]) -> Flat:
    """The same with so much left."""
    return flat._replace(free=free, hop=_hops(free))


def with_times(flat: Flat, ticks: Ticks, rests: Ticks, lag: Ticks) -> Flat:
    """The same tasks taking other ticks and resting and waiting by other rows of ``waits``."""
    tasks, after = flat.tasks.copy(), flat.after.copy()
    tasks[:-1, TICKS], tasks[:-1, RESTS], after[:, 1] = ticks, rests, lag
    return flat._replace(tasks=tasks, after=after)


def with_hands(flat: Flat, hands: NDArray[np.bool_]) -> Flat:
    """The same with those people at work."""
    worked = np.cumsum(np.pad(hands, ((0, 0), (1, 0))), axis=1, dtype=np.int32)
    return flat._replace(worked=worked, moments=_moments(hands))


def desk_for(flat: Flat) -> Desk:
    """A desk with nothing but frozen work on it."""
    return Desk(flat.free.copy(), flat.hop.copy(), flat.plan.copy())


def plan_on(desk: Desk) -> Plan:
    """The plan that lies on a desk."""
    return Plan(*desk.plan)


def _task_rows(work: Work, then_ptr: Ticks) -> Ticks:
    rows = np.zeros((len(work) + 1, 8), dtype=np.int32)
    rows[:, AFTER], rows[:, THEN] = work.after_ptr, then_ptr
    rows[:-1, STATION], rows[:-1, TICKS], rows[:-1, ONE_DAY] = work.station, work.ticks, work.one_day
    rows[:-1, READY] = np.maximum(work.earliest, work.release[work.order])
    rows[:-1, RESTS] = work.rests
    rows[:-1, REST_AT] = np.where(work.rest_at < 0, work.station, work.rest_at)
    return rows


def _followers(work: Work) -> tuple[Ticks, Ticks]:
    task = np.repeat(np.arange(len(work), dtype=np.int32), np.diff(work.after_ptr))
    counts = np.bincount(work.after, minlength=len(work))
    pointer = np.concatenate(([0], np.cumsum(counts))).astype(np.int32)
    return pointer, task[np.argsort(work.after, kind="stable")]


def _lag_rows(work: Work) -> Ticks:
    """Rows of waits; after a task without ticks one counts from the beginning of its tick."""
    return np.where(work.ticks[work.after] == 0, work.lag + len(work.lag_minutes), work.lag).astype(np.int32)


def _waits(problem: Problem) -> Ticks:
    axis, work = problem.axis, problem.work
    rows = [axis.lag_table(int(minutes)) for minutes in work.lag_minutes]
    if np.any(work.ticks == 0):
        rows += [axis.lag_table_from_begins(int(minutes)) for minutes in work.lag_minutes]
    return np.array(rows, dtype=np.int32).reshape(-1, len(axis) + 1)


def _hands(problem: Problem) -> tuple[Ticks, Ticks]:
    able = problem.capacity.able & problem.capacity.needs_hands
    by_width = np.argsort(problem.capacity.able.sum(axis=1), kind="stable")
    lists = [by_width[able[by_width, station]] for station in range(able.shape[1])]
    pointer = np.cumsum([0, *map(len, lists)]).astype(np.int32)
    return pointer, np.concatenate([[], *lists]).astype(np.int32)


def _moments(hands: NDArray[np.bool_]) -> Ticks:
    """The ticks at work of each person, in a row as long as the axis, filled up with its length."""
    found = np.full(hands.shape, hands.shape[1], dtype=np.int32)
    for row, at_work in zip(found, hands, strict=True):
        there = np.flatnonzero(at_work)
        row[: len(there)] = there
    return found


def _hops(free: NDArray[np.int16]) -> Ticks:
    rows, ticks = free.shape
    here = np.where(free > 0, np.arange(ticks, dtype=np.int32), ticks)
    ahead = np.minimum.accumulate(here[:, ::-1], axis=1)[:, ::-1]
    return np.concatenate((ahead, np.full((rows, 1), ticks)), axis=1).astype(np.int32)


def _book_frozen(flat: Flat, work: Work) -> None:
    horizon = flat.free.shape[1]
    late = []
    for i in np.flatnonzero(work.fixed >= 0):
        start, person = int(work.fixed[i]), int(work.fixed_person[i])
        end = _frozen_end(flat, int(work.ticks[i]), start, person)
        if end > horizon:
            late.append(int(i))
            continue
        flat.plan[:, i] = start, end, person
        _book(flat, int(i), start, end, person)
    if late:
        raise PlanRefused([_over_the_horizon(i) for i in late])


def _frozen_end(flat: Flat, ticks: int, start: int, person: int) -> int:
    if person < 0 or not ticks:
        return start + ticks
    last = flat.worked[person, start] + ticks - 1
    horizon = flat.free.shape[1]
    return int(flat.moments[person, last]) + 1 if last < horizon else horizon + 1


def _book(flat: Flat, task: int, start: int, end: int, person: int) -> None:
    station, *_, rests, rest_at = flat.tasks[task, : REST_AT + 1]
    until = max(end, int(flat.waits[rests, end])) if rests >= 0 and end > start else end
    flat.free[station, start : until if rest_at == station else end] -= 1
    if until > end and rest_at != station:
        flat.free[rest_at, start:until] -= 1
    if person >= 0:
        flat.free[len(flat.hands_ptr) - 1 + person, start:end] -= 1


def _over_the_horizon(task: int) -> Reason:
    return Reason(f"tasks.{task}", "no-place", "is frozen where it cannot end before the horizon does")
