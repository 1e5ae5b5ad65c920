"""Why work cannot be planned at all, whatever the sequence: every reason with its field and what to do."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from specs.errors import Problem as Reason

if TYPE_CHECKING:
    from routing.plan.problem import Axis, Capacity, Problem, Work

_OF_TASKS = ("station", "ticks", "one_day", "earliest", "rests", "rest_at", "fixed", "fixed_person")


def reasons_against(problem: Problem) -> list[Reason]:
    """Every reason; where lists do not fit together, only those reasons, for nothing else can be told then."""
    sizes = list(_sizes(problem))
    return sizes or [*_axis(problem.axis), *_capacity(problem.capacity), *_work(problem), *_too_long(problem)]


def reasons_against_work(problem: Problem) -> list[Reason]:
    """The same for its work alone, in a shop looked at before; a task too long is found out by finding no place."""
    return list(_sizes(problem)) or list(_work(problem))


def _sizes(problem: Problem) -> Iterator[Reason]:
    axis, capacity, work = problem.axis, problem.capacity, problem.work
    ticks, stations, people = len(axis), len(capacity.needs_hands), len(capacity.hands)
    wanted = {
        "axis.ends": (axis.ends, (ticks,)),
        "axis.day": (axis.day, (ticks,)),
        "capacity.places": (capacity.places, (stations, ticks)),
        "capacity.hands": (capacity.hands, (people, ticks)),
        "capacity.able": (capacity.able, (people, stations)),
        "work.after_ptr": (work.after_ptr, (len(work) + 1,)),
        "work.lag": (work.lag, work.after.shape),
        "work.due": (work.due, work.release.shape),
        "work.weight": (work.weight, work.release.shape),
    } | {f"work.{name}": (getattr(work, name), (len(work),)) for name in _OF_TASKS}
    for name, (found, shape) in wanted.items():
        if found.shape != shape:
            yield Reason(name, "size", f"is of size {found.shape}, must be {shape}")
    if work.after_ptr.shape == (len(work) + 1,) and not _is_pointer(work.after_ptr, len(work.after)):
        yield Reason("work.after_ptr", "size", "must rise from 0 to the number of predecessors")


def _is_pointer(pointer: NDArray[np.int32], length: int) -> bool:
    return bool(pointer[0] == 0 and pointer[-1] == length and np.all(np.diff(pointer) >= 0))


def _axis(axis: Axis) -> Iterator[Reason]:
    if not len(axis):
        yield Reason("axis", "empty", "there is no working time: give a longer horizon")
    if np.any(axis.ends <= axis.begins) or np.any(axis.begins[1:] < axis.ends[:-1]) or np.any(np.diff(axis.day) < 0):
        yield Reason("axis", "not-rising", "ticks and days must follow one another")
    if axis.ticks_a_day < 1:
        yield Reason("axis.ticks_a_day", "too-small", "a day has at least one tick")


def _capacity(capacity: Capacity) -> Iterator[Reason]:
    for station in np.flatnonzero((capacity.places < 0).any(axis=1)):
        yield Reason(f"stations.{station}", "negative", "cannot have fewer than no places")
    for station in np.flatnonzero(capacity.needs_hands & ~capacity.able.any(axis=0)):
        yield Reason(f"stations.{station}", "nobody", "needs people, but nobody may work there")


def _work(problem: Problem) -> Iterator[Reason]:
    work, (stations, ticks) = problem.work, problem.capacity.places.shape
    orders, people = len(work.release), len(problem.capacity.hands)
    yield from _outside("order", work.order, 0, orders)
    yield from _outside("station", work.station, 0, stations)
    yield from _outside("rest_at", work.rest_at, -1, stations)
    yield from _outside("rests", work.rests, -1, len(work.lag_minutes))
    yield from _outside("fixed", work.fixed, -1, ticks)
    yield from _outside("fixed_person", work.fixed_person, -1, people)
    yield from _each("tasks", work.ticks < 0, "negative", "cannot take less than no time")
    yield from _each("tasks", work.earliest < 0, "negative", "cannot start before the beginning")
    yield from _each("tasks", np.diff(work.order, prepend=0) < 0, "scattered", "must stand with the rest of its order")
    yield from _each("orders", ~(np.isfinite(work.weight) & (work.weight >= 0)), "weight", "needs a weight from 0 on")
    yield from _each("orders", work.release < 0, "negative", "cannot be released before the beginning")
    yield from _each("waits", work.lag_minutes < 0, "negative", "a wait cannot be negative")
    yield from _predecessors(work)


def _predecessors(work: Work) -> Iterator[Reason]:
    task = np.repeat(np.arange(len(work)), np.diff(work.after_ptr))
    wrong = (work.after < 0) | (work.after >= task)
    for i in np.unique(task[wrong]):
        yield Reason(f"tasks.{i}.after", "order", "may only come after tasks that stand before it")
    for i in np.unique(task[(work.lag < 0) | (work.lag >= len(work.lag_minutes))]):
        yield Reason(f"tasks.{i}.after", "unknown", "names a wait that is not listed")


def _outside(name: str, found: NDArray[np.int32], least: int, beyond: int) -> Iterator[Reason]:
    for i in np.flatnonzero((found < least) | (found >= beyond)):
        yield Reason(f"tasks.{i}.{name}", "unknown", f"{found[i]} is none of {least} to {beyond - 1}")


def _each(name: str, wrong: NDArray[np.bool_], code: str, message: str) -> Iterator[Reason]:
    return (Reason(f"{name}.{i}", code, message) for i in np.flatnonzero(wrong))


def _too_long(problem: Problem) -> Iterator[Reason]:
    """Tasks no stretch of their station's places is long enough for, or no able person's time."""
    work, axis = problem.work, problem.axis
    if not len(axis) or np.any((work.station < 0) | (work.station >= len(problem.capacity.needs_hands))):
        return
    day_ends = axis.day_ends()
    for station in np.unique(work.station):
        longest, in_a_day = most_ticks(problem.capacity, station, day_ends)
        here = (work.station == station) & (work.fixed < 0)
        for i in np.flatnonzero(here & (work.ticks > np.where(work.one_day, in_a_day, longest))):
            most, within = (in_a_day, " in one day") if work.one_day[i] else (longest, "")
            told = f"takes {work.ticks[i]} ticks{within}, and station {station} has {most} at most"
            yield Reason(f"tasks.{i}.ticks", "too-long", told)


def most_ticks(capacity: Capacity, station: int, day_ends: NDArray[np.int32]) -> tuple[int, int]:
    """The most ticks a task can get there: in all, and within a day without a pause."""
    places = capacity.places[station] > 0
    if not capacity.needs_hands[station]:
        return longest_run(places, None), longest_run(places, day_ends)
    people = [capacity.hands[person] for person in np.flatnonzero(capacity.able[:, station])]
    worked = (_worked_in_runs(places, hands) for hands in people)
    return max(worked, default=0), _most(longest_run(places & hands, day_ends) for hands in people)


def _most(counts: Iterable[int]) -> int:
    return max(counts, default=0)


def _worked_in_runs(places: NDArray[np.bool_], hands: NDArray[np.bool_]) -> int:
    """The most ticks a person is at work within one stretch of places."""
    stretch = np.cumsum(~places)
    return int(np.bincount(stretch, weights=places & hands).max(initial=0))


def longest_run(free: NDArray[np.bool_], day_ends: NDArray[np.int32] | None) -> int:
    """The longest stretch of true ticks, cut at the ends of days where those are given."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], free, [False])).astype(np.int8)))
    begins, ends = edges[::2], edges[1::2]
    if day_ends is None:
        return int((ends - begins).max(initial=0))
    runs = np.searchsorted(edges, np.arange(len(free)), side="right")
    last = np.minimum(day_ends, np.append(edges, len(free))[np.minimum(runs, len(edges))])
    return int(np.where(free, last - np.arange(len(free)), 0).max(initial=0))
