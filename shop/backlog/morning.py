"""The manager's morning: what to do first, work ahead, cures out, the oldest orders."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import QuerySet
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.ahead import (
    USUAL_STAY,
    cures_out,
    loads,
    on_the_floor,
    standing,
    stuck,
    usual_stays,
)  # fmt: skip
from routing.catalogue import OPERATIONS
from routing.models import Build, Hold, Task, TaskState
from routing.planning.timetable import outlooks, published_timetable
from routing.queries import open_holds
from routing.said import moment_said, waits_said
from shop.backlog.doubts import Doubt, Planned, Unplanned
from shop.backlog.monday import Monday
from shop.orders.models import Order

FIRST = 5
"""Lines of each kind in the list; the heading counts them all."""

OLDEST = 8
RELEASE = next(row for row in OPERATIONS if row.releases)


@dataclass(frozen=True)
class Line:
    """One thing to do: how grave, in a word, on which instrument, why, and where to go for it."""

    grade: str
    word: str
    serial: str
    why: str
    address: str
    link: str


@dataclass(frozen=True)
class Oldest:
    """An instrument long in the shop and where it stands."""

    serial: str
    address: str
    since: datetime
    days: int
    where: str


class Morning:
    """Everything the page shows at one moment, read in a fixed number of queries."""

    def __init__(self, now: datetime) -> None:
        self.now = now
        self.today = timezone.localdate(now)
        self.plan = published_timetable()
        self.orders = outlooks(self.plan.plan) if self.plan else None
        self.promises = Planned(self.plan, self.orders, now) if self.plan else Unplanned(now)
        released, releasable, holds = on_the_floor(), _releasable(now), open_holds()
        self.late_count, self.risk_count = self.promises.late_count, self.promises.risk_count
        self.floor_count, self.release_count, self.held_count = released.count(), releasable.count(), holds.count()
        release = list(releasable[:FIRST])
        oldest = list(released.exclude(batch__isnull=False, order=None).order_by("made_at", "pk")[:OLDEST])
        self.holds = list(holds[:FIRST])
        self.stays = usual_stays(now)
        self.loads = loads(self.today)
        stood = self._stuck()
        builds = [*(doubt.build for doubt in self.promises.doubts), *oldest]
        self.standing = standing({build.pk for build in builds})
        self.numbers = _numbers([*builds, *(task.build for task in release)])
        self.cures = cures_out(now, now + timedelta(days=7))
        self.do_first = [
            *map(self._doubt, self.promises.doubts), *map(self._held, self.holds), *map(self._stood, stood),
            *map(self._release, release),
        ]  # fmt: skip
        self.oldest = [self._old(build) for build in oldest]
        self.monday = Monday(now, self.orders, self.loads)

    @property
    def longest(self) -> float:
        """The largest figure of the load table, for the length of its bars."""
        return max((max(load.hours, load.hands) for load in self.loads), default=0.0)

    def _stuck(self) -> list[Task]:
        held = {hold.task_id for hold in self.holds}
        tasks = stuck(self.now, self.stays, [load.station.pk for load in self.loads])
        tasks = tasks.exclude(operation=RELEASE.name)[: 2 * FIRST]
        return [task for task in tasks if task.pk not in held][:FIRST]

    def _where(self, build: Build) -> str:
        task = self.standing.get(build.pk)
        return self._stands(task) if task else _("nothing of it is ready or on a bench")

    def _stands(self, task: Task) -> str:
        operation, station = _(task.operation), _(task.station.name)
        if task.state == TaskState.ON_BENCH:
            return _("{operation}, on the bench with {person}").format(operation=operation, person=task.person)
        if task.state == TaskState.HELD:
            return _("{operation}, held at {station}").format(operation=operation, station=station)
        if task.ready_at > self.now:
            return _("{operation}, {until}").format(operation=operation, until=waits_said(task))
        since = moment_said(task.ready_at)
        return _("{operation}, ready at {station} since {since}").format(
            operation=operation, station=station, since=since
        )

    def _doubt(self, doubt: Doubt) -> Line:
        why = "; ".join(part for part in (doubt.why, self._where(doubt.build)) if part)
        return self._line(doubt.grade, doubt.word, doubt.build, why)

    def _held(self, hold: Hold) -> Line:
        why = _("{operation}: {reason}").format(operation=_(hold.task.operation), reason=hold.reason)
        return Line("caution", _("Held"), hold.task.build.serial, why, _task(hold.task_id), _("Look at it"))

    def _stood(self, task: Task) -> Line:
        stay, usual = (self.now - task.ready_at).days, self.stays.get(task.station_id, USUAL_STAY).days
        why = _("{station}, {operation}: {days} days; usual {usual}").format(
            station=_(task.station.name), operation=_(task.operation), days=stay, usual=usual
        )
        return Line("caution", _("Stuck"), task.build.serial, why, _task(task.pk), _("Look at it"))

    def _release(self, task: Task) -> Line:
        return self._line("go", _("Release"), task.build, _("next in line; its papers are the only thing missing"))

    def _line(self, grade: str, word: str, build: Build, why: str) -> Line:
        link = _("Open the order") if build.pk in self.numbers else _("Open the batch")
        return Line(grade, word, build.serial, why, self._address(build), link)

    def _address(self, build: Build) -> str:
        number = self.numbers.get(build.pk)
        if number:
            return reverse("orders:page", args=[number])
        return reverse("batches:page", args=[build.batch.number]) if build.batch else ""

    def _old(self, build: Build) -> Oldest:
        days = (self.now - build.made_at).days
        return Oldest(build.serial, self._address(build), build.made_at, days, self._where(build))


def _releasable(now: datetime) -> QuerySet[Task]:
    tasks = Task.objects.ready(now).filter(
        operation=RELEASE.name, station__name=RELEASE.station, build__cancelled_at=None, build__released_at=None
    )
    return tasks.select_related("build").order_by("build__promise", "build_id")


def _numbers(builds: Sequence[Build]) -> dict[int, str]:
    """Order numbers by build."""
    return dict(Order.objects.filter(build__in=builds).values_list("build_id", "number"))


def _task(pk: int) -> str:
    return reverse("floor:task", args=[pk])
