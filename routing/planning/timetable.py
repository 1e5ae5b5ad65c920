"""The published plan as people look at it: its rows in the shop's clock, kept by version, and what stands in it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from typing import NamedTuple
from zoneinfo import ZoneInfo

import numpy as np
from django.conf import settings
from django.utils import timezone
from numpy.typing import NDArray

from routing.models import PlannedBuild, PublishedPlan, Task
from routing.planning.published import ONLY, rows_of_plan
from routing.planning.stored import PlanRows
from routing.rota import DAY, EPOCH, QUARTER

KEPT = 3
Minutes = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Timetable:
    """Rows of a published plan, rising by their begin; ``begins`` to ``rest_ends`` in minutes the shop's clock shows,
    counted from its 1 January 1970; ``waits_end`` is the end of what follows the work, its own end where nothing does;
    ``operations`` names each task."""

    plan: int
    made_at: datetime
    rows: PlanRows
    begins: Minutes
    ends: Minutes
    waits_end: Minutes
    rest_begins: Minutes
    rest_ends: Minutes
    operations: Mapping[int, str]
    _known: dict[frozenset[str], dict[int, date]] = field(default_factory=dict, repr=False)

    def between(self, first: date, last: date) -> NDArray[np.int64]:
        """Rows with work or waiting from the first day up to, but not with, the last."""
        low, high = minute_of(first), minute_of(last)
        return np.flatnonzero((self.begins < high) & (np.maximum(self.ends, self.waits_end) > low))

    def of_builds(self, builds: list[int], bookings: list[int]) -> NDArray[np.int64]:
        """Rows of those builds and bookings."""
        mine = np.isin(self.rows.build, builds) & (self.rows.build > 0)
        return np.flatnonzero(mine | np.isin(self.rows.booking, bookings) & (self.rows.booking > 0))

    def first_days(self, names: frozenset[str]) -> dict[int, date]:
        """The first planned day of any of those operations, by build."""
        if names not in self._known:
            self._known[names] = self._first_days(names)
        return self._known[names]

    def _first_days(self, names: Collection[str]) -> dict[int, date]:
        tasks = [task for task, operation in self.operations.items() if operation in names]
        found = np.flatnonzero(np.isin(self.rows.task, tasks) & (self.rows.task > 0))
        days = zip(self.rows.build[found].tolist(), self.begins[found].tolist(), strict=True)
        return {build: day_of(minute) for build, minute in reversed(list(days))}


def minute_of(day: date) -> int:
    """The minute at which that day begins."""
    return (day.toordinal() - EPOCH) * DAY


def day_of(minute: int) -> date:
    """The day in which that minute lies."""
    return date.fromordinal(EPOCH + minute // DAY)


def published_timetable() -> Timetable | None:
    """The published plan; None before the first. One query, three when another was published."""
    row = PublishedPlan.objects.filter(pk=ONLY).values_list("plan_id", "plan__made_at").first()
    return None if row is None or row[0] is None else _read(*row, settings.TIME_ZONE)


@lru_cache(maxsize=KEPT)
def _read(plan: int, made_at: datetime, zone: str) -> Timetable:
    rows = rows_of_plan(plan)
    rows = rows.where(np.lexsort((rows.ends, rows.begins)))
    operations, waits = _named(plan)
    waited = rows.ends + np.array([waits.get(task, 0) for task in rows.task.tolist()], dtype=np.int64)
    minutes = (rows.begins, rows.ends, np.maximum(waited, rows.rest_ends), rows.rest_begins, rows.rest_ends)
    return Timetable(plan, made_at, rows, *(_clock(each, zone) for each in minutes), operations)


def _named(plan: int) -> tuple[dict[int, str], dict[int, int]]:
    """The operation of each task of the plan's builds, and the minutes waited after those that wait; one query."""
    tasks = Task.objects.filter(build__planned__plan=plan).order_by().values_list("pk", "operation", "wait_h")
    rows = list(tasks)
    return {pk: name for pk, name, _wait in rows}, {pk: round(60 * wait) for pk, _name, wait in rows if wait}


def _clock(minutes: Minutes, zone: str) -> Minutes:
    """UTC minutes as the clock of that zone shows them; clocks change on a quarter-hour."""
    found, at = np.unique(minutes // QUARTER, return_inverse=True)
    clock = ZoneInfo(zone)
    moments = (datetime.fromtimestamp(60 * QUARTER * quarter, UTC).astimezone(clock) for quarter in found.tolist())
    ahead = np.array([(moment.utcoffset() or timedelta()).total_seconds() // 60 for moment in moments], dtype=np.int64)
    return minutes + (ahead[at] if len(ahead) else 0)


class Outlook(NamedTuple):
    """What the published plan, and the forecast where there is one, say of a build or of a booking without one."""

    build: int
    booking: int
    serial: str
    line: str
    promise: date | None
    starts: datetime | None
    leaves: datetime | None
    ends: datetime
    leaves_on: date | None
    p80_on: date | None

    @property
    def late_days(self) -> int:
        """Calendar days from the promise to the day it leaves by the plan; none or fewer where it is kept."""
        return (self.leaves_on - self.promise).days if self.promise and self.leaves_on else 0

    @property
    def risk_days(self) -> int:
        """The same to the day by which it has left in 80 of 100 cases."""
        return (self.p80_on - self.promise).days if self.promise and self.p80_on else 0

    @property
    def grade(self) -> str:
        """``stop`` late by the plan, ``caution`` late in one case of five or more, ``go`` kept, empty unpromised."""
        if self.promise is None or self.leaves is None:
            return ""
        return "stop" if self.late_days > 0 else "caution" if self.risk_days > 0 else "go"


_OF_BUILD = ("build__serial", "build__line", "build__promise", "build__finished_at", "build__cancelled_at")
_OF_BOOKING = ("booking__line", "booking__promised_on", "booking__withdrawn_at")
_OF_PLAN = ("starts", "leaves", "ends", "p80")


def outlooks(plan: int) -> list[Outlook]:
    """Everything in that plan that is still to be done, what leaves first in front; one query."""
    rows = PlannedBuild.objects.filter(plan=plan).order_by("leaves", "ends", "pk")
    found = []
    for build, booking, *more in rows.values_list("build_id", "booking_id", *_OF_BUILD, *_OF_BOOKING, *_OF_PLAN):
        (serial, line, promise, finished, cancelled), (kind, promised, withdrawn), dates = more[:5], more[5:8], more[8:]
        if not (finished or cancelled or withdrawn):
            known = (serial, line, promise) if build else ("", kind, promised)
            days = (timezone.localdate(moment) if moment else None for moment in (dates[1], dates[3]))
            found.append(Outlook(build or 0, booking or 0, *known, *dates[:3], *days))
    return sorted(found, key=lambda one: (one.leaves or one.ends, one.ends))
