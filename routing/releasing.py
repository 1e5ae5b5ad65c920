"""What may be released next: builds in line with the release check, and whether the floor has room for one.

**Source** of check and rule: common practice ("release one when one passes inspection, unless a slot is empty").
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import F, QuerySet
from django.utils.translation import gettext as _

from routing.catalogue import operation
from routing.limits import NOT_CUT
from routing.models import Build, Hold, Kind, Station, Task, TaskState
from routing.standing import Standing

SIGNED = operation("Specification sign-off by customer").name
DRAWN = operation("Scale and layout drawing").name
PASSED = operation("Re-inspection of what was touched (hold point)").name
WEEK = timedelta(days=7)
FINISH_WITHIN = timedelta(weeks=6)
SHOWN = 12


@dataclass(frozen=True)
class Check:
    """One line of the release check: what is asked, and the answer; None where nobody can know it yet."""

    asked: str
    holds: bool | None
    why: str = ""


@dataclass(frozen=True)
class Candidate:
    """A build in line with its release check."""

    build: Build
    checks: tuple[Check, ...]

    @property
    def stops(self) -> list[Check]:
        return [check for check in self.checks if check.holds is False]

    @property
    def may(self) -> bool:
        return not self.stops


@dataclass(frozen=True)
class Room:
    """Whether the floor takes one more: free slots before the first cut, what passed and was released in a week."""

    slots: int
    passed: int
    released: int
    full: tuple[Standing, ...]

    @property
    def how_many(self) -> int:
        """How many may be released now: the empty slots, or one for each that passed; none past a full place."""
        if self.full:
            return 0
        return max(self.slots, 0) or max(0, self.passed - self.released)


def room(floor: Sequence[Standing], now: datetime) -> Room:
    """Room on the floor by its places; two queries."""
    before = next(one for one in floor if one.place is NOT_CUT)
    over = tuple(one for one in floor if one.is_over and one is not before)
    passed = _inspected().filter(state=TaskState.DONE, done_at__gte=now - WEEK).count()
    released = Build.objects.filter(released_at__gte=now - WEEK, line="custom").count()
    return Room(before.limit - before.count, passed, released, over)


def _inspected() -> QuerySet[Task]:
    """Inspections; the station beside the name lets an index answer most of it."""
    return Task.objects.filter(operation=PASSED, station__in=Station.objects.filter(name=operation(PASSED).station))


def in_line() -> QuerySet[Build]:
    """Custom instruments whose deposit cleared and that are not released, nearest promise first."""
    waiting = Build.objects.filter(kind=Kind.INSTRUMENT, line="custom", released_at=None, cancelled_at=None)
    return waiting.filter(finished_at=None).order_by(F("promise").asc(nulls_last=True), "-weight", "pk")


def candidates(finish_from: Mapping[int, date], today: date, shown: int = SHOWN) -> list[Candidate]:
    """The first in line with their check; three queries.

    ``finish_from`` gives, by build, the day the plan takes it to the finish.
    """
    builds = list(in_line()[:shown])
    done = set(_done_of(builds))
    held = dict(_held_of(builds))
    return [Candidate(build, tuple(_checks(build, done, held, finish_from.get(build.pk), today))) for build in builds]


def _done_of(builds: Sequence[Build]) -> QuerySet[Task, tuple[int, str]]:
    office = Task.objects.filter(build__in=builds, operation__in=(SIGNED, DRAWN), state=TaskState.DONE)
    return office.order_by().values_list("build_id", "operation")


def _held_of(builds: Sequence[Build]) -> QuerySet[Hold, tuple[int, str]]:
    holds = Hold.objects.filter(task__build__in=builds, lifted_at=None).order_by("-placed_at")
    return holds.values_list("task__build_id", "reason")


def _checks(
    build: Build, done: set[tuple[int, str]], held: Mapping[int, str], finish: date | None, today: date
) -> list[Check]:
    return [
        Check(_("Deposit cleared"), True),
        Check(_("Drawing made"), (build.pk, DRAWN) in done, _("the scale and layout drawing is open")),
        Check(_("Specification signed"), (build.pk, SIGNED) in done, _("the customer has not signed")),
        Check(_("No open question"), build.pk not in held, held.get(build.pk, "")),
        Check(_("Finish within six weeks"), _soon(finish, today), _("the plan takes it to the finish later")),
    ]


def _soon(finish: date | None, today: date) -> bool | None:
    return None if finish is None else finish <= today + FINISH_WITHIN
