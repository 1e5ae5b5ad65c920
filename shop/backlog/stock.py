"""Parts made ahead: what lies in stock by length, how many to keep, and which builds could begin with one now."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache

from routing.estimating import estimate_table
from routing.expand import build_rows, part_rows
from routing.head_starts import Measure, measure_of, measure_of_part
from routing.keeping import days_saved, days_to_make, pieces_to_keep
from routing.models import Build, Kind, Task
from routing.parts import COVERED, NECK_BLANK, HeadStart
from routing.planning.rota import shop_calendar
from routing.prototypes import HOME
from specs.document import BuildSpec
from specs.errors import Refused
from specs.parsing import parse

SERVICES = (80, 90, 95)
USUAL_SERVICE = 90
ASKED_OVER = timedelta(weeks=26)
"""How far back builds tell what is asked for. **Source**: common practice, half a year holds the seasons of a shop."""

WEEKS = ASKED_OVER / timedelta(weeks=1)
TAKERS = 12


@dataclass(frozen=True)
class Shelf:
    """One measure of blank: rested, resting and being made; asked for a week, days to make, how many to keep."""

    measure: Measure
    rested: list[HeadStart]
    resting: list[HeadStart]
    making: list[HeadStart]
    a_week: float
    lead_days: float
    keep: int
    saved_days: float

    @property
    def next_rested(self) -> datetime | None:
        return min((part.rested_from for part in self.resting), default=None)

    @property
    def on_the_way(self) -> int:
        """Resting or being made."""
        return len(self.resting) + len(self.making)

    @property
    def short(self) -> int:
        """How many to begin now."""
        return max(0, self.keep - len(self.rested) - self.on_the_way)

    @property
    def saved_weeks(self) -> float:
        return self.saved_days / 7


@dataclass(frozen=True)
class Taker:
    """A released build whose own blank is not begun, and the rested part it could take."""

    build: Build
    part: HeadStart


class Stock:
    """Everything the page shows, read in a fixed number of queries."""

    def __init__(self, now: datetime, service: int = USUAL_SERVICE) -> None:
        self.now, self.service = now, service
        self.calendar, self.estimates = shop_calendar(), estimate_table()
        parts = _grouped(HeadStart.objects.filter(used_by=None, made_in__cancelled_at=None).select_related("made_in"))
        asked = _asked(now)
        self.shelves = [self._shelf(measure, parts.get(measure, []), asked.get(measure, [])) for measure in
                        sorted({*parts, *asked}, key=lambda one: (one.length_mm, one))]  # fmt: skip
        self.takers = _takers(self.shelves)

    def _shelf(self, measure: Measure, parts: Sequence[HeadStart], asked: Sequence[BuildSpec]) -> Shelf:
        a_week, lead, saved = len(asked) / WEEKS, 0.0, 0.0
        if asked:
            lead, saved = self._days(asked[0])
        made = [part for part in parts if part.rested_from]
        return Shelf(
            measure=measure,
            rested=[part for part in made if part.rested_from <= self.now],
            resting=[part for part in made if part.rested_from > self.now],
            making=[part for part in parts if not part.rested_from],
            a_week=a_week,
            lead_days=lead,
            keep=pieces_to_keep(a_week * lead / 7, self.service / 100),
            saved_days=saved,
        )

    def _days(self, spec: BuildSpec) -> tuple[float, float]:
        """Days to make one blank, and days its instrument gains by it, both from now on."""
        names = COVERED[NECK_BLANK]
        lead = days_to_make(part_rows(spec, HOME, names, 1, self.estimates), self.calendar, self.now)
        return lead, days_saved(build_rows(spec, HOME, self.estimates), self.calendar, self.now, names)


def _grouped(parts: Iterable[HeadStart]) -> dict[Measure, list[HeadStart]]:
    found: dict[Measure, list[HeadStart]] = {}
    for part in parts:
        found.setdefault(measure_of_part(part), []).append(part)
    return found


def _asked(now: datetime) -> dict[Measure, list[BuildSpec]]:
    """The custom instruments of the last half year by the blank they needed, newest first; one query."""
    builds = Build.objects.filter(kind=Kind.INSTRUMENT, line="custom", cancelled_at=None, made_at__gte=now - ASKED_OVER)
    found: dict[Measure, list[BuildSpec]] = {}
    for entered in builds.order_by("-made_at", "-pk").values_list("spec__entered", flat=True):
        if (spec := _parsed(json.dumps(entered))) is not None:
            found.setdefault(measure_of(spec), []).append(spec)
    return found


@lru_cache(maxsize=1024)
def _parsed(entered: str) -> BuildSpec | None:
    try:
        return parse(json.loads(entered))
    except Refused:
        return None


def _takers(shelves: Iterable[Shelf]) -> list[Taker]:
    """Released builds that could begin with a rested blank, nearest promise first; one query."""
    rested = {shelf.measure: list(shelf.rested) for shelf in shelves if shelf.rested}
    first = Task.objects.open().filter(operation=COVERED[NECK_BLANK][0], started_at=None).exclude(state="held")
    first = first.filter(build__kind__in=(Kind.INSTRUMENT, Kind.PROTOTYPE), build__cancelled_at=None)
    tasks = first.exclude(build__released_at=None).select_related("build__spec").order_by("build__promise", "build_id")
    found: list[Taker] = []
    for task in tasks if rested else ():
        spec = _parsed(json.dumps(task.build.spec.entered))
        if spec is not None and (parts := rested.get(measure_of(spec))):
            found.append(Taker(task.build, parts.pop(0)))
    return found[:TAKERS]
