"""Work ahead of the shop, computed in the database: hours against hands, promises at risk, places work is stuck at."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import (
    Avg,
    Case,
    DateField,
    DurationField,
    Exists,
    ExpressionWrapper,
    F,
    FloatField,
    OuterRef,
    Q,
    QuerySet,
    Sum,
    Value,
    When,
)

from routing.catalogue import OPERATIONS, STATIONS
from routing.models import Build, Holiday, Kind, Qualification, Station, Task, TaskState
from routing.queries import LIVE, PERSON_SHOWN, live_tasks

DAYS = 14
WEEKS_SPREAD = 26
HOURS_A_DAY = 6
"""Touch hours one instrument gets on a working day. **Source**: common practice, no source."""

DAYS_A_WORKDAY = 7 / 5
LOOK_AHEAD = timedelta(days=180)
"""A promise farther away is not yet asked whether it holds."""

LEARNED_FROM = timedelta(days=60)
LEARNED_TASKS = 2000
"""The newest finished tasks of that time are enough to learn from."""

USUAL_STAY = timedelta(days=3)
"""How long work stands at a place of which nothing is known yet. **Source**: common practice, no source."""

NOTHING_AHEAD = {"hours": 0.0, "all_hours": 0.0}
CANDIDATES = 60
"""Nearest promises looked at closely."""

DESPATCH = "Despatch and delivery"
AFTER_DESPATCH = tuple(row.name for row in OPERATIONS if DESPATCH in row.after)
STANDING_SHOWN = ("build", "position", "operation", "state", "ready_at", "station__name", *PERSON_SHOWN)
UNDONE = tuple(state for state in TaskState.values if state != TaskState.DONE)
_WAITS_ONLY = [row.slug for row in STATIONS if row.waits_only]


def unfinished() -> QuerySet[Build]:
    """Builds that are neither finished nor cancelled."""
    return Build.objects.filter(finished_at=None, cancelled_at=None)


def in_the_shop() -> QuerySet[Build]:
    """Unfinished builds that have not left: more is open than what follows delivery."""
    work = Task.objects.filter(build=OuterRef("pk"), state__in=UNDONE).exclude(operation__in=AFTER_DESPATCH)
    return unfinished().filter(Exists(work))


def on_the_floor() -> QuerySet[Build]:
    """Released instruments in the shop; those of a partner's batch from when it is counted in."""
    here = in_the_shop().exclude(kind=Kind.BATCH).exclude(released_at=None)
    return here.exclude(batch__isnull=False, batch__received=None).select_related("batch")


def late(today: date) -> QuerySet[Build]:
    """Builds still in the shop after their promise, longest first."""
    return in_the_shop().filter(promise__lt=today).select_related("batch").order_by("promise", "pk")


@dataclass(frozen=True)
class Load:
    """Hours at a station: to do in the next two weeks, hands there in that time, and all there is ahead."""

    station: Station
    hours: float
    hands: float
    all_hours: float

    @property
    def is_over(self) -> bool:
        return self.hours > self.hands


def loads(today: date) -> list[Load]:
    """Every station where hands work, in shop-walk order; four queries.

    What a released build still needs is spread evenly up to its promise, so that hours to do now are those that keep
    every promise without a rush at its end; work already late counts whole.
    """
    ahead, hands = _hours_by_station(today), _hands_by_station(today)
    return [
        Load(station, hands=hands.get(station.pk, 0.0), **ahead.get(station.pk, NOTHING_AHEAD))
        for station in Station.objects.exclude(slug__in=_WAITS_ONLY)
    ]


def _hours_by_station(today: date) -> dict[int, dict[str, float]]:
    tasks = Task.objects.exclude(state=TaskState.DONE).filter(
        build__finished_at=None, build__cancelled_at=None, build__released_at__isnull=False
    )
    due = Sum(F("usual_h") * _share_due(today), output_field=FloatField())
    rows = tasks.order_by().values("station_id").annotate(hours=due, all_hours=Sum("usual_h"))
    return {row.pop("station_id"): row for row in rows}


def _share_due(today: date) -> Case:
    """The part of a build's work that belongs in the next two weeks, by the weeks left to its promise."""
    spread = [
        When(build__promise__lte=today + timedelta(weeks=weeks), then=Value(2 / weeks, output_field=FloatField()))
        for weeks in range(2, WEEKS_SPREAD)
    ]
    return Case(*spread, default=Value(2 / WEEKS_SPREAD), output_field=FloatField())


def _hands_by_station(today: date) -> dict[int, float]:
    workdays = _workdays(today)
    rows = Qualification.objects.filter(person__is_active=True).order_by().values("station_id")
    return {row["station_id"]: row["week"] / 5 * workdays for row in rows.annotate(week=Sum("weekly_hours"))}


def _workdays(today: date) -> int:
    days = [today + timedelta(days=ahead) for ahead in range(DAYS)]
    closed = set(Holiday.objects.filter(date__range=(days[0], days[-1])).values_list("date", flat=True))
    return sum(day.weekday() < 5 and day not in closed for day in days)


@dataclass(frozen=True)
class Risk:
    """A build whose remaining work reaches past its promise; calendar days of work left, days to the promise."""

    build: Build
    left_days: float
    days: int


def at_risk(now: datetime, today: date) -> list[Risk]:
    """Builds that miss their promise even if nothing stands in the way, nearest promise first; two queries.

    The database picks those whose whole remaining work is too much; of the nearest of them the longest chain decides.
    """
    builds = list(_overfull(today)[:CANDIDATES])
    chains = _longest_chains([build.pk for build in builds], now)
    risks = [Risk(build, chains.get(build.pk, 0.0), (build.promise - today).days) for build in builds]
    return [risk for risk in risks if risk.left_days > risk.days]


def _overfull(today: date) -> QuerySet[Build]:
    day = Value(timedelta(days=1), output_field=DurationField())
    left = Sum("tasks__usual_h") * (DAYS_A_WORKDAY / HOURS_A_DAY) + Sum("tasks__wait_h") / 24.0
    needed = ExpressionWrapper(left * day, output_field=DurationField())
    until = ExpressionWrapper(F("promise") - Value(today, output_field=DateField()), output_field=DurationField())
    builds = unfinished().exclude(kind=Kind.BATCH).filter(promise__range=(today, today + LOOK_AHEAD))
    builds = builds.filter(tasks__state__in=UNDONE).select_related("batch")
    builds = builds.annotate(until=until, needed=needed).filter(needed__gt=F("until"))
    return builds.order_by("promise", "pk")


def _longest_chains(builds: Iterable[int], now: datetime) -> dict[int, float]:
    """Calendar days of the longest chain of work and waiting left of each build; one query."""
    tasks = Task.objects.filter(build__in=builds, state__in=UNDONE).exclude(operation__in=AFTER_DESPATCH)
    columns = ("build_id", "position", "after", "usual_h", "wait_h", "ready_at")
    ends: dict[tuple[int, int], float] = {}
    chains: dict[int, float] = {}
    for build, position, after, usual_h, wait_h, ready_at in tasks.order_by("build", "position").values_list(*columns):
        clock = max(0.0, (ready_at - now) / timedelta(days=1)) if ready_at else 0.0
        begin = max((ends.get((build, before), 0.0) for before in after), default=0.0)
        end = max(begin, clock) + usual_h * DAYS_A_WORKDAY / HOURS_A_DAY + wait_h / 24
        ends[build, position] = end
        chains[build] = max(chains.get(build, 0.0), end)
    return chains


def usual_stays(now: datetime) -> dict[int, timedelta]:
    """How long work usually stands at each station from ready to done, from the last two months; one query."""
    stay = ExpressionWrapper(F("done_at") - F("ready_at"), output_field=DurationField())
    done = Task.objects.filter(state=TaskState.DONE, done_at__gte=now - LEARNED_FROM).order_by("-done_at")
    known = Task.objects.filter(pk__in=done.values("pk")[:LEARNED_TASKS], ready_at__lte=F("done_at"))
    rows = known.order_by().values("station_id").annotate(stay=Avg(stay))
    return {row["station_id"]: max(row["stay"], timedelta(days=1)) for row in rows}


def stuck(now: datetime, stays: dict[int, timedelta], stations: Iterable[int]) -> QuerySet[Task]:
    """Tasks that stand at a place longer than twice what is usual there, longest first."""
    too_long = Q(pk__in=[])
    for station in stations:
        too_long |= Q(station_id=station, ready_at__lt=now - 2 * stays.get(station, USUAL_STAY))
    return live_tasks().filter(too_long).select_related("build", "station").order_by("ready_at", "pk")


def cures_out(now: datetime, until: datetime) -> list[tuple[Task, datetime]]:
    """Coats on the rack whose cure ends in that time, with the moment, soonest first; one query."""
    longest = timedelta(days=45)
    hung = Task.objects.filter(
        station__slug__in=_WAITS_ONLY, state=TaskState.DONE, done_at__gte=now - longest, build__cancelled_at=None
    )
    out = [(task, task.done_at + timedelta(hours=task.wait_h)) for task in hung.select_related("build")[:200]]
    return sorted((row for row in out if now <= row[1] <= until), key=lambda row: row[1])


def standing(builds: Iterable[int]) -> dict[int, Task]:
    """The task that says best where each build stands: held before on the bench before ready; one query."""
    urgency = {TaskState.HELD: 0, TaskState.ON_BENCH: 1, TaskState.READY: 2}
    tasks = Task.objects.filter(build__in=list(builds), state__in=LIVE).select_related("station", "person")
    tasks = tasks.only(*STANDING_SHOWN)
    best: dict[int, Task] = {}
    for task in sorted(tasks, key=lambda task: (urgency[TaskState(task.state)], task.position)):
        best.setdefault(task.build_id, task)
    return best
