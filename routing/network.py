"""The critical path of a network of activities: earliest and latest times, slack, and the chain that decides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from specs.errors import Problem, Refused

LONGEST = 1e12
_KEYS = ("id", "duration", "predecessors")


class Activity(NamedTuple):
    """Work of some duration that starts when all its predecessors are over."""

    id: str
    duration: float
    predecessors: tuple[str, ...] = ()


class Times(NamedTuple):
    """Earliest start and finish, latest start and finish, from 0, in the unit of the durations."""

    es: float
    ef: float
    ls: float
    lf: float

    @property
    def slack(self) -> float:
        """How long the activity may be late without moving the end."""
        return self.ls - self.es


@dataclass(frozen=True)
class CriticalPath:
    """Length of the whole, times of every activity in the order given, and one chain without slack, first to last."""

    length: float
    activities: dict[str, Times]
    chain: tuple[str, ...]


def critical_path(activities: Iterable[Activity | tuple[str, float, Sequence[str]]]) -> CriticalPath:
    """Times of every activity, in the unit of the durations; length 0 where there is none.

    Of several critical chains the one whose activities were given first. Raises ``Refused`` with a problem for each
    repeated id, unknown predecessor, duration outside 0 to 1e12, and for a cycle.
    **Source**: the forward and backward pass of Kelley and Walker, 1959 (from memory).
    """
    given = tuple(Activity(*activity) for activity in activities)
    _refuse(_problems(given))
    order = _in_order(given)
    earliest = _forward(order)
    length = max((finish for _, finish in earliest.values()), default=0)
    latest = _backward(order, length)
    times = {activity.id: Times(*earliest[activity.id], *latest[activity.id]) for activity in given}
    return CriticalPath(length, times, _chain(given, times, length))


def critical_path_figure(args: Any) -> dict[str, Any]:
    """The answer of ``figure critical-path``: length, and es, ef, ls, lf by activity id.

    Raises ``Refused`` with a dotted field for every bad argument.
    """
    path = critical_path(_read(args))
    return {"length": path.length, "activities": {name: times._asdict() for name, times in path.activities.items()}}


def _forward(order: Sequence[Activity]) -> dict[str, tuple[float, float]]:
    times: dict[str, tuple[float, float]] = {}
    for activity in order:
        start = max((times[name][1] for name in activity.predecessors), default=0)
        times[activity.id] = (start, start + activity.duration)
    return times


def _backward(order: Sequence[Activity], length: float) -> dict[str, tuple[float, float]]:
    must_finish = {activity.id: length for activity in order}
    times: dict[str, tuple[float, float]] = {}
    for activity in reversed(order):
        finish = must_finish[activity.id]
        start = finish - activity.duration
        times[activity.id] = (start, finish)
        for name in activity.predecessors:
            must_finish[name] = min(must_finish[name], start)
    return times


def _chain(given: Sequence[Activity], times: Mapping[str, Times], length: float) -> tuple[str, ...]:
    """Walks back from the end by equal forward times, which are exact sums of the same numbers."""
    by_id = {activity.id: activity for activity in given}
    name = next((activity.id for activity in given if times[activity.id].ef == length), None)
    chain: list[str] = []
    while name is not None:
        chain.append(name)
        start, before = times[name].es, by_id[name].predecessors
        name = next((each for each in before if times[each].ef == start), None)
    return tuple(reversed(chain))


def _in_order(given: Sequence[Activity]) -> list[Activity]:
    """The activities so that each stands after its predecessors; those on a cycle are left out."""
    waiting = {activity.id: len(set(activity.predecessors)) for activity in given}
    followers: dict[str, list[Activity]] = {activity.id: [] for activity in given}
    for activity in given:
        for name in set(activity.predecessors):
            followers[name].append(activity)
    order = [activity for activity in given if not waiting[activity.id]]
    for activity in order:
        for follower in followers[activity.id]:
            waiting[follower.id] -= 1
            if not waiting[follower.id]:
                order.append(follower)
    return order


def _problems(given: Sequence[Activity]) -> Iterator[Problem]:
    found = [problem for place, activity in enumerate(given) for problem in _own_problems(place, activity)]
    found += _naming_problems(given)
    yield from found or _cycle_problems(given)


def _own_problems(place: int, activity: Activity) -> Iterator[Problem]:
    if not 0 <= activity.duration <= LONGEST:
        message = f"must be a number from 0 to {LONGEST:g}"
        yield Problem(f"activities.{place}.duration", "range", message)


def _naming_problems(given: Sequence[Activity]) -> Iterator[Problem]:
    seen: set[str] = set()
    names = {activity.id for activity in given}
    for place, activity in enumerate(given):
        if activity.id in seen:
            yield Problem(f"activities.{place}.id", "repeated", f"{activity.id!r} is taken; give each its own id")
        seen.add(activity.id)
        for position, name in enumerate(activity.predecessors):
            if name not in names:
                field = f"activities.{place}.predecessors.{position}"
                yield Problem(field, "unknown", f"{name!r} is no activity of the list")


def _cycle_problems(given: Sequence[Activity]) -> Iterator[Problem]:
    ordered = {activity.id for activity in _in_order(given)}
    stuck = {activity.id: activity for activity in given if activity.id not in ordered}
    if not stuck:
        return
    cycle = _cycle(stuck)
    places = {activity.id: place for place, activity in enumerate(given)}
    first = min(cycle, key=places.__getitem__)
    before = cycle[cycle.index(first) - 1]
    field = f"activities.{places[first]}.predecessors.{stuck[first].predecessors.index(before)}"
    turned = cycle[cycle.index(first) :] + cycle[: cycle.index(first)]
    circle = " before ".join([*turned, first])
    yield Problem(field, "cycle", f"runs in a circle ({circle}); take out one of these predecessors")


def _cycle(stuck: Mapping[str, Activity]) -> list[str]:
    """One cycle, each before the next: every stuck activity waits for a stuck one, so walking back must return."""
    walked: list[str] = []
    name = next(iter(stuck))
    while name not in walked:
        walked.append(name)
        name = next(before for before in stuck[name].predecessors if before in stuck)
    return walked[walked.index(name) :][::-1]


def _read(args: Any) -> list[Activity]:
    if not isinstance(args, dict):
        raise Refused.one("document", "type", "must be an object with a list of activities")
    _refuse(_top_problems(args))
    rows = args["activities"]
    _refuse(problem for place, row in enumerate(rows) for problem in _shape_problems(f"activities.{place}", row))
    return [Activity(row["id"], row["duration"], tuple(row["predecessors"])) for row in rows]


def _top_problems(args: Mapping[str, Any]) -> Iterator[Problem]:
    for key in args.keys() - {"activities"}:
        yield Problem(str(key), "unknown", "is not known here; only activities is")
    if not isinstance(args.get("activities"), list):
        yield Problem("activities", "type", "must be a list of activities")


def _shape_problems(field: str, row: Any) -> Iterator[Problem]:
    if not isinstance(row, dict):
        yield Problem(field, "type", "must be an object with id, duration and predecessors")
        return
    for key in row:
        if key not in _KEYS:
            yield Problem(f"{field}.{key}", "unknown", f"is not known here; known are {', '.join(_KEYS)}")
    if not _is_name(row.get("id")):
        yield Problem(f"{field}.id", "type", "must be a text that is not empty")
    if not isinstance(row.get("duration"), int | float) or isinstance(row["duration"], bool):
        yield Problem(f"{field}.duration", "type", "must be a number")
    yield from _predecessor_problems(f"{field}.predecessors", row.get("predecessors"))


def _predecessor_problems(field: str, names: Any) -> Iterator[Problem]:
    if not isinstance(names, list):
        yield Problem(field, "type", "must be a list of ids")
        return
    for position, name in enumerate(names):
        if not _is_name(name):
            yield Problem(f"{field}.{position}", "type", "must be a text that is not empty")


def _is_name(name: Any) -> bool:
    return isinstance(name, str) and bool(name)


def _refuse(problems: Iterable[Problem]) -> None:
    found = tuple(problems)
    if found:
        raise Refused(found)
