"""What stands where: the queue of a station, and the path of a build through the shop."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Case, Count, F, OuterRef, Q, QuerySet, Subquery, When, Window

from routing.models import Build, Hold, Station, Task, TaskState
from routing.plan.trial import RUSH_WEIGHT

SHOWN = 50
NEXT = 8
TASK_SHOWN = ("operation", "state", "ready_at", "person", "build__serial")
PERSON_SHOWN = ("person__first_name", "person__last_name", "person__username")
LIVE = (TaskState.READY, TaskState.ON_BENCH, TaskState.HELD)
"""States of tasks that stand at their station; the others have not come or have gone."""


@dataclass(frozen=True)
class Queue:
    """One station now: on the bench, ready in the order to take them, waiting for the clock, held (``held_because``).

    ``ready`` and ``waiting`` hold the first of all that ``ready_count`` and ``waiting_count`` count.
    """

    station: Station
    on_bench: list[Task]
    ready: list[Task]
    ready_count: int
    waiting: list[Task]
    waiting_count: int
    held: list[Task]

    @property
    def waiting_more(self) -> int:
        """How many wait beside those listed."""
        return self.waiting_count - len(self.waiting)


def queue(station: Station, now: datetime) -> Queue:
    """The first tasks of a station's queue, by promise, then by their place in the build; three queries."""
    here = Task.objects.filter(station=station, build__cancelled_at=None)
    stopped = _stopped_or_in_hand(here)
    ready, ready_count = _first(_in_order(here.ready(now)))
    waiting, waiting_count = _first(_in_order(here.waiting(now)).order_by("ready_at", "build_id", "position"))
    return Queue(
        station=station,
        on_bench=[task for task in stopped if task.state == TaskState.ON_BENCH][:SHOWN],
        ready=ready,
        ready_count=ready_count,
        waiting=waiting,
        waiting_count=waiting_count,
        held=[task for task in stopped if task.state == TaskState.HELD][:SHOWN],
    )


def _first(tasks: QuerySet[Task]) -> tuple[list[Task], int]:
    """The first tasks of a line and how many stand in it."""
    first = list(tasks.annotate(in_line=Window(Count("pk")))[:NEXT])
    return first, first[0].in_line if first else 0


def _stopped_or_in_hand(here: QuerySet[Task]) -> list[Task]:
    """Tasks on the bench and held ones with their reason ``held_because``; few, so that one query reads all."""
    reason = Hold.objects.filter(task=OuterRef("pk"), lifted_at=None).values("reason")[:1]
    tasks = here.filter(state__in=(TaskState.ON_BENCH, TaskState.HELD)).annotate(held_because=Subquery(reason))
    return list(_in_order(tasks, *PERSON_SHOWN))


def _in_order(tasks: QuerySet[Task], *more: str) -> QuerySet[Task]:
    related = ("build", "person") if more else ("build",)
    return tasks.select_related(*related).only(*TASK_SHOWN, *more).order_by(
        Case(When(build__weight__gte=RUSH_WEIGHT, then=0), default=1),
        F("build__promise").asc(nulls_last=True), "-build__weight", "build_id", "position"
    )  # fmt: skip


def open_holds() -> QuerySet[Hold]:
    """Holds nobody has lifted, oldest first, with their tasks."""
    holds = Hold.objects.filter(lifted_at=None, task__build__cancelled_at=None)
    return holds.select_related("task__build", "task__station", "placed_by").order_by("placed_at", "pk")


def live_tasks() -> QuerySet[Task]:
    """Tasks that stand at their station, of builds nobody cancelled."""
    return Task.objects.filter(state__in=LIVE, build__cancelled_at=None)


@dataclass(frozen=True)
class StationNow:
    """A station and how many tasks stand there: ready, on the bench, waiting, held."""

    station: Station
    ready: int = 0
    on_bench: int = 0
    waiting: int = 0
    held: int = 0


def stations_now(now: datetime) -> list[StationNow]:
    """Every station in shop-walk order with its counts; two queries."""
    out = Q(ready_at__lte=now)
    counts = live_tasks().values("station_id").order_by().annotate(
        ready=Count("pk", filter=out & Q(state=TaskState.READY)),
        on_bench=Count("pk", filter=Q(state=TaskState.ON_BENCH)),
        waiting=Count("pk", filter=~out & Q(state=TaskState.READY)),
        held=Count("pk", filter=Q(state=TaskState.HELD)),
    )  # fmt: skip
    by_station = {row.pop("station_id"): row for row in counts}
    return [StationNow(station, **by_station.get(station.pk, {})) for station in Station.objects.all()]


@dataclass(frozen=True)
class Stop:
    """A station on a build's path: all its work done, some of it here now, or still ahead."""

    station: str
    done: bool
    here: bool
    held: bool


def path(build: Build) -> list[Stop]:
    """The build's way as a line of stations in the order of their first task; one query."""
    stops: dict[str, list[str]] = {}
    for name, state in build.tasks.order_by("position").values_list("station__name", "state"):
        stops.setdefault(name, []).append(state)
    return [
        Stop(
            station=name,
            done=all(state == TaskState.DONE for state in states),
            here=any(state in LIVE for state in states),
            held=TaskState.HELD in states,
        )
        for name, states in stops.items()
    ]
