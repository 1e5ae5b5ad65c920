"""The plan at hand of the search by priorities, for tasks that take places only, and the paper for its trials."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from routing.plan.compiled import compiled
from routing.plan.problem import NONE, Problem, Ticks, Work

MOST_STATIONS = 62
SMALL = ("ready", "last", "at", "new_start", "new_end", "new_ready", "trail", "queue", "next")
TRY, COUNT, BEGUN, WRITTEN, FOLLOW, LEFT, UNTIL = range(7)


class Route(NamedTuple):
    """A problem whose tasks take places only, as the trials read it.

    ``free[station, tick]`` without frozen work, whose ``start`` is given (else -1); ``then``: the tasks after a task;
    ``lag`` names a row of ``waits``; ``longest``: ticks of the longest task.
    """

    free: NDArray[np.int16]
    station: Ticks
    ticks: Ticks
    one_day: NDArray[np.bool_]
    ready: Ticks
    after_ptr: Ticks
    after: Ticks
    lag: Ticks
    then_ptr: Ticks
    then: Ticks
    waits: Ticks
    day_end: Ticks
    start: Ticks
    longest: int


class Line(NamedTuple):
    """The plan at hand with its keys, and the paper on which another is tried; one thread at a time.

    ``key``, ``start``, ``end``, ``ready``, ``last`` (latest start among predecessors, -1: none) of each task;
    ``listed``: tasks by start, then number, ``at``: their place in it. ``new_start``, ``new_end``, ``new_ready``,
    ``settled``, ``touched``, ``moved`` (the try they belong to), ``trail`` (tasks in the order they were settled): the
    trial. ``free``, ``queue``, ``queue_ptr``, ``waiting``, ``first``, ``next`` as on a desk; ``wake``, ``rise``: a bit
    for each station to be looked at in a tick, in a trial and always. ``now``: number of the try, tasks settled, the
    position in ``listed`` it began at, the tick up to which ``free`` is written, followers still to be settled of tasks
    that differ, tasks with a changed key not settled, the tick after all that differs.
    """

    key: NDArray[np.float64]
    start: Ticks
    end: Ticks
    ready: Ticks
    last: Ticks
    listed: Ticks
    at: Ticks
    new_start: Ticks
    new_end: Ticks
    new_ready: Ticks
    settled: NDArray[np.int64]
    touched: NDArray[np.int64]
    moved: NDArray[np.int64]
    trail: Ticks
    free: NDArray[np.int16]
    queue: Ticks
    queue_ptr: Ticks
    waiting: Ticks
    first: Ticks
    next: Ticks
    wake: NDArray[np.int64]
    rise: NDArray[np.int64]
    now: NDArray[np.int64]


def is_simple(problem: Problem) -> bool:
    """Whether tasks take nothing but a place of their station, so that this module can serve."""
    few = len(problem.capacity.places) <= MOST_STATIONS
    return few and not problem.capacity.needs_hands.any() and bool(np.all(problem.work.rests < 0))


def route_of(problem: Problem) -> Route:
    """The arrays of a checked problem for which ``is_simple`` holds."""
    work, axis = problem.work, problem.axis
    free = problem.capacity.places.copy()
    for i in np.flatnonzero(work.fixed >= 0):
        free[work.station[i], work.fixed[i] : work.fixed[i] + work.ticks[i]] -= 1
    then_ptr, then = _followers(work)
    tables = [axis.lag_table(int(each)) for each in work.lag_minutes]
    tables += [axis.lag_table_from_begins(int(each)) for each in work.lag_minutes]
    return Route(
        free=free,
        station=work.station,
        ticks=work.ticks,
        one_day=work.one_day,
        ready=np.maximum(work.earliest, work.release[work.order]),
        after_ptr=work.after_ptr,
        after=work.after,
        lag=np.where(work.ticks[work.after] == 0, work.lag + len(work.lag_minutes), work.lag).astype(np.int32),
        then_ptr=then_ptr,
        then=then,
        waits=np.array(tables, dtype=np.int32).reshape(-1, len(axis) + 1),
        day_end=axis.day_ends(),
        start=work.fixed,
        longest=int(work.ticks.max(initial=0)),
    )


def _followers(work: Work) -> tuple[Ticks, Ticks]:
    task = np.repeat(np.arange(len(work), dtype=np.int32), np.diff(work.after_ptr))
    counts = np.bincount(work.after, minlength=len(work))
    pointer = np.concatenate(([0], np.cumsum(counts))).astype(np.int32)
    return pointer, task[np.argsort(work.after, kind="stable")]


def line_for(route: Route, key: NDArray[np.float64], start: Ticks) -> Line:
    """A line holding that plan, which must be what dispatching by those keys gives."""
    tasks, (stations, ticks) = len(route.ticks), route.free.shape
    here = np.bincount(route.station, minlength=stations)
    small = {name: np.zeros(tasks, dtype=np.int32) for name in SMALL}
    stamps = {name: np.zeros(tasks, dtype=np.int64) for name in ("settled", "touched", "moved")}
    line = Line(
        **small | stamps | {
            "key": key.astype(np.float64),
            "start": start.copy(),
            "end": (start + route.ticks).astype(np.int32),
            "listed": np.lexsort((np.arange(tasks), start)).astype(np.int32),
            "free": route.free.copy(),
            "queue_ptr": np.concatenate(([0], np.cumsum(here))).astype(np.int32),
            "waiting": np.zeros(stations, dtype=np.int32),
            "first": np.full(ticks + 1, NONE, dtype=np.int32),
            "wake": np.zeros(ticks + 1, dtype=np.int64),
            "rise": _rises(route.free),
            "now": np.zeros(UNTIL + 1, dtype=np.int64),
        }
    )  # fmt: skip
    line.at[line.listed] = np.arange(tasks)
    look_back_from(route, line)
    return line


def _rises(free: NDArray[np.int16]) -> NDArray[np.int64]:
    """A bit for each station at which a place becomes free at that tick without anybody leaving."""
    stations, ticks = free.shape
    rises = np.zeros(ticks + 1, dtype=np.int64)
    grows = free[:, 1:] > np.maximum(free[:, :-1], 0)
    rises[1:ticks] = (grows * (1 << np.arange(stations, dtype=np.int64))[:, None]).sum(axis=0)
    return rises


@compiled
def look_back(route: Route, line: Line, i: int) -> None:
    """When the task became ready in the plan at hand, and when the last of its predecessors not frozen started."""
    ready, last = route.ready[i], -1
    for k in range(route.after_ptr[i], route.after_ptr[i + 1]):
        before = route.after[k]
        ready = max(ready, route.waits[route.lag[k], line.end[before]])
        if route.start[before] < 0:
            last = max(last, line.start[before])
    line.ready[i], line.last[i] = ready, last


@compiled
def look_back_from(route: Route, line: Line) -> None:
    """The same for all tasks."""
    for i in range(len(line.listed)):
        look_back(route, line, i)
