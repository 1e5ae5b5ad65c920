"""Designs in hand against the benches: every idea by stage, its prototypes, and the hours they would take."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import lru_cache

from django.db.models import Count, Prefetch, Q, QuerySet, Sum
from django.utils.translation import gettext as _

from routing.adjustments import EstimateTable
from routing.ahead import loads, standing
from routing.building import FOR_CUSTOMER
from routing.dates import touch_totals
from routing.estimating import estimate_table
from routing.expand import build_rows
from routing.models import Build, Kind, Task, TaskState
from routing.prototypes import HOME
from specs.designs import IN_HAND
from specs.errors import Refused
from specs.models import Pattern, PatternMove, Stage
from specs.parsing import parse

WEEKS_OF_LOAD = 2
"""``routing.ahead.loads`` speaks of two weeks."""

LEAST_SPARE_H = 0.5
"""Less than half an hour a week is nothing to build with. **Source**: common practice, no source."""

SHOWN_DONE = 5


@dataclass(frozen=True)
class Prototype:
    """One prototype: how far it is and where it stands."""

    build: Build
    done: int
    tasks: int
    left_h: float
    where: str


@dataclass(frozen=True)
class Design:
    """One pattern with its last move, its prototypes, and the hours another one would take by station."""

    pattern: Pattern
    last: PatternMove | None
    prototypes: list[Prototype]
    hours: Mapping[str, float] = field(default_factory=dict)

    @property
    def total_h(self) -> float | None:
        return sum(self.hours.values()) if self.hours else None

    @property
    def can_be_built(self) -> bool:
        return self.pattern.stage != Stage.RESTING and bool(self.hours)

    @property
    def others(self) -> list[tuple[str, str]]:
        """The stages it may go to."""
        return [(value, label) for value, label in Stage.choices if value != self.pattern.stage]


@dataclass(frozen=True)
class Bench:
    """A station: spare hours a week, hours of prototypes under way, hours of the designs that have none yet."""

    station: str
    spare_h: float
    open_h: float
    wanted_h: float

    @property
    def all_h(self) -> float:
        """Everything designs want of it."""
        return self.open_h + self.wanted_h

    @property
    def weeks(self) -> float | None:
        """Weeks until all of it is built with what the bench has to spare; None where that is next to nothing."""
        return self.all_h / self.spare_h if self.spare_h >= LEAST_SPARE_H else None


class Designs:
    """Everything the page shows, read in a fixed number of queries."""

    def __init__(self, now: datetime, today: date) -> None:
        estimates = estimate_table()
        patterns = list(_patterns())
        stands = _prototypes(patterns, now)
        self.all = [_design(pattern, stands.get(pattern.pk, []), estimates) for pattern in patterns]
        self.stages = [
            (label, [one for one in self.all if one.pattern.stage == stage]) for stage, label in Stage.choices
        ]
        self.in_hand = [one for one in self.all if one.pattern.stage in IN_HAND]
        self.benches = _benches(self.in_hand, today)

    @property
    def longest_h(self) -> float:
        """The longest bar of the table of benches."""
        return max((max(bench.all_h, bench.spare_h) for bench in self.benches), default=0.0)

    @property
    def tightest(self) -> Bench | None:
        """The bench that holds the designs up longest; None where nothing is in hand."""
        never = [bench for bench in self.benches if bench.weeks is None]
        return next(iter(never), None) or max(self.benches, key=lambda bench: bench.weeks, default=None)


def _patterns() -> QuerySet[Pattern]:
    moves = PatternMove.objects.select_related("person").order_by("-at", "-pk")
    return Pattern.objects.prefetch_related(Prefetch("moves", moves, "newest_moves")).order_by("name")


def _prototypes(patterns: Iterable[Pattern], now: datetime) -> dict[int, list[Prototype]]:
    """The prototypes of each pattern, newest first; two queries."""
    done = Q(tasks__state=TaskState.DONE)
    builds = Build.objects.filter(kind=Kind.PROTOTYPE, cancelled_at=None, spec__pattern__in=list(patterns))
    builds = builds.select_related("spec").defer("spec__document", "spec__answer", "spec__entered").annotate(
        done=Count("tasks", filter=done), all=Count("tasks"), left_h=Sum("tasks__usual_h", filter=~done)
    )  # fmt: skip
    builds = list(builds.order_by("-made_at", "-pk"))
    stands = standing(build.pk for build in builds if build.finished_at is None)
    found: dict[int, list[Prototype]] = {}
    for build in builds:
        where = _where(build, stands.get(build.pk))
        row = Prototype(build, build.done, build.all, build.left_h or 0.0, where)
        found.setdefault(build.spec.pattern_id, []).append(row)
    return found


def _where(build: Build, task: Task | None) -> str:
    if build.finished_at:
        return _("built")
    if task is None:
        return _("nothing of it is ready or on a bench")
    return f"{_(task.operation)} · {_(task.station.name)}"


def _design(pattern: Pattern, prototypes: list[Prototype], estimates: EstimateTable) -> Design:
    last = next(iter(pattern.newest_moves), None)
    return Design(pattern, last, prototypes[:SHOWN_DONE], _hours(json.dumps(pattern.document), estimates))


@lru_cache(maxsize=256)
def _hours(document: str, estimates: EstimateTable) -> Mapping[str, float]:
    """Usual hours of one prototype by station; nothing for a design that is no instrument yet."""
    try:
        rows = build_rows(parse(json.loads(document)), HOME, estimates, FOR_CUSTOMER)
    except Refused:
        return {}
    return {station: touch.usual for station, touch in touch_totals(rows).items()}


def _benches(in_hand: Sequence[Design], today: date) -> list[Bench]:
    """The stations designs in hand need, in shop-walk order; as many queries as ``loads``, and one."""
    wanted: dict[str, float] = {}
    for design in in_hand:
        if not design.prototypes:
            for station, hours in design.hours.items():
                wanted[station] = wanted.get(station, 0.0) + hours
    left = Task.objects.open().filter(build__kind=Kind.PROTOTYPE, build__finished_at=None, build__cancelled_at=None)
    under_way = dict(left.order_by().values_list("station__name").annotate(hours=Sum("usual_h")))
    spare = {load.station.name: max(0.0, load.hands - load.hours) / WEEKS_OF_LOAD for load in loads(today)}
    rows = [Bench(name, hours, under_way.get(name, 0.0), wanted.get(name, 0.0)) for name, hours in spare.items()]
    return [bench for bench in rows if bench.open_h or bench.wanted_h]
