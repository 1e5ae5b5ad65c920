"""When the tasks of one build could be done if nothing else stood in the shop: dates without capacity."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from types import MappingProxyType
from typing import Literal, NamedTuple

from routing.catalogue import STATIONS, Touch
from routing.expand import ExpandedTask
from routing.workdays import WorkCalendar

Estimate = Literal["low", "usual", "high"]


class TaskDates(NamedTuple):
    """UTC moments: hands on, hands off, and the end of the waiting after it."""

    start: datetime
    finish: datetime
    ready: datetime


@dataclass(frozen=True)
class BuildDates:
    """Dates by operation in the order given; when the last hands go off; the chain that decides it, first to last."""

    tasks: Mapping[str, TaskDates]
    finish: datetime
    chain: tuple[str, ...]


def earliest_dates(
    tasks: Sequence[ExpandedTask],
    calendar: WorkCalendar,
    start: datetime,
    *,
    estimate: Estimate = "usual",
    finished: Mapping[str, datetime] = MappingProxyType({}),
) -> BuildDates:
    """Each task starts when the work and the waiting of all before it are over; work takes working time, waiting
    elapsed hours. ``finished`` gives operations already done with the moment they were.

    Raises ``KeyError`` where a task comes after one that does not stand above it, ``ValueError`` for no tasks.
    """
    if not tasks:
        raise ValueError("a build without tasks has no dates")
    begin = start.astimezone(UTC)
    dates: dict[str, TaskDates] = {}
    for task in tasks:
        open_from = max((dates[name].ready for name in task.after), default=begin)
        dates[task.operation] = _task_dates(task, calendar, open_from, estimate, finished.get(task.operation))
    last = max(tasks, key=lambda task: dates[task.operation].finish)
    return BuildDates(dates, dates[last.operation].finish, _chain(tasks, dates, last))


def _task_dates(
    task: ExpandedTask, calendar: WorkCalendar, open_from: datetime, estimate: Estimate, done: datetime | None
) -> TaskDates:
    wait = timedelta(hours=task.wait_h)
    if done is not None:
        return TaskDates(done, done, done + wait)
    touch = getattr(task.touch_h, estimate)
    begins = calendar.next_work_moment(open_from) if touch else open_from
    finish = calendar.add_work(begins, touch)
    return TaskDates(begins, finish, finish + wait)


def _chain(tasks: Sequence[ExpandedTask], dates: Mapping[str, TaskDates], last: ExpandedTask) -> tuple[str, ...]:
    """Back from the last task, each time to the one that kept it waiting longest."""
    by_name = {task.operation: task for task in tasks}
    chain = [last.operation]
    while before := by_name[chain[-1]].after:
        chain.append(max(before, key=lambda name: dates[name].ready))
    return tuple(reversed(chain))


def touch_totals(tasks: Iterable[ExpandedTask]) -> dict[str, Touch]:
    """Hands-on hours by station, in shop-walk order; stations without work are left out."""
    by_station: dict[str, list[Touch]] = {}
    for task in tasks:
        by_station.setdefault(task.station, []).append(task.touch_h)
    return {place.name: _sum(by_station[place.name]) for place in STATIONS if place.name in by_station}


def total_touch(tasks: Iterable[ExpandedTask]) -> Touch:
    """Hands-on hours of the whole: low, usual, high."""
    return _sum([task.touch_h for task in tasks])


def _sum(hours: Sequence[Touch]) -> Touch:
    return Touch(*(round(math.fsum(column), 6) for column in zip(*hours, strict=True))) if hours else Touch(0, 0, 0)
