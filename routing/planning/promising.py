"""The promise: the earliest honest date for an order, why that day, what would make it earlier; accepted, withdrawn."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.ahead import DESPATCH
from routing.errors import WrongState
from routing.expand import ExpandedTask
from routing.models import Booking, Build, PlannedBuild, PublishedPlan, Task, TaskState
from routing.plan.margin import REPLAYED, Kept, Margin, margin
from routing.plan.quote import QuotedOrder, quote
from routing.planning.forecasting import forecast_margins
from routing.planning.jobs import replan_after
from routing.planning.ordered import OrderedWork, order_work
from routing.planning.published import Standing, lock_published, move_on, plan_settings, standing
from routing.planning.stored import PlanRows, no_rows, pack, rows_of
from routing.planning.why import Sooner, Why, sooner, why
from routing.said import day_said
from specs.facts import OrderFacts
from specs.models import Spec

DAY_MINUTES = 24 * 60
FACTS = ("export", "permit", "carrier")
"""What of an order's facts its work depends on."""


@dataclass(frozen=True)
class Promise:
    """A date to be given: the day the plan has it leave, what is added at the service level, the day that comes to."""

    bare_on: date
    margin: Margin
    level: float
    promised_on: date
    begins_on: date


@dataclass(frozen=True, eq=False)
class Quoted:
    """A promise for an order that has no build yet, with its place and the reasons."""

    promise: Promise
    why: Why
    sooner: tuple[Sooner, ...]
    place: QuotedOrder
    ordered: OrderedWork
    standing: Standing


class PlaceGone(WrongState):
    """The place shown went to somebody else; ``promise`` is the date that is left."""

    def __init__(self, promise: Promise) -> None:
        self.promise = promise
        super().__init__(
            _("The plan changed since that date was shown. It is now {day}; nothing was booked.").format(
                day=day_said(promise.promised_on)
            )
        )


def quote_order(
    tasks: Sequence[ExpandedTask],
    *,
    now: datetime,
    others: Mapping[str, Sequence[ExpandedTask]] | None = None,
    here: Standing | None = None,
) -> Quoted:
    """The date for an order of those tasks, accepted now; ``others`` are what it might be instead, by name.

    Raises ``NoPlan`` before the first plan, PlanRefused where the shop cannot build it.
    """
    here = here or standing(now)
    ordered = order_work(tasks, here.shop, release=here.shop.tick_at(now))
    place = quote(here.profile, ordered.work, ordered.last)
    promise = _promised(here, place, now)
    return Quoted(promise, why(here, ordered, place), sooner(here, ordered, place, others or {}), place, ordered, here)


def _promised(here: Standing, place: QuotedOrder, now: datetime) -> Promise:
    ends = here.shop.axis.ends
    bare_on = _local_day(int(ends[max(place.end - 1, 0)]))
    begins = place.plan.start[place.plan.end > place.plan.start]
    begins_on = _local_day(int(here.shop.axis.begins[int(begins.min(initial=place.end))]))
    return promise_beyond(bare_on, begins_on, now, here)


def promise_beyond(bare_on: date, begins_on: date, now: datetime, here: Standing) -> Promise:
    """The date given for a day the plan says: the margin added in whole days, moved to a day the shop works.

    Whole days come out the same rounded down: an order that leaves a part of a day late leaves a day late.
    """
    if "kept" not in here.known:
        here.known.update(kept=promises_kept(now), level=plan_settings().level, table=forecast_margins())
    level, table, away = here.known["level"], here.known["table"], (bare_on - timezone.localdate(now)).days
    added = margin(level, here.known["kept"], None if table is None else table.at(level, away), away)
    day = bare_on + timedelta(days=math.floor(added.days + 1e-9))
    return Promise(bare_on, added, level, _worked_day(here, day), begins_on)


def _worked_day(here: Standing, day: date) -> date:
    tick = here.shop.begin_of(day)
    return _local_day(int(here.shop.axis.begins[tick])) if tick < len(here.shop.axis) else day


def _local_day(minute: int) -> date:
    return timezone.localdate(datetime.fromtimestamp(60 * minute, UTC))


def promises_kept(now: datetime) -> list[Kept]:
    """Promises that came due, in the order they did: despatched, or past their day and still here; one query.

    Of what is still here it is only known that it is later than today, which is how it counts.
    """
    today = timezone.localdate(now)
    gone = Task.objects.filter(operation=DESPATCH, state=TaskState.DONE, build__booking__isnull=False)
    left = gone.order_by("-done_at").values_list(*(f"build__booking__{name}" for name in _GIVEN), "done_at")
    due = [_kept(*given, timezone.localdate(done)) for *given, done in left[: REPLAYED + 60]]
    here = Booking.objects.filter(withdrawn_at=None, promised_on__lt=today, build__finished_at=None)
    here = here.exclude(build__tasks__in=gone.values("pk")).values_list(*_GIVEN)
    known = sorted([*due, *(_kept(*given, today) for given in here)], key=lambda each: each[0])
    return [each for _day, each in known]


_GIVEN = ("at", "bare_on", "promised_on")


def _kept(at: datetime, bare_on: date, promised_on: date, left_on: date) -> tuple[date, Kept]:
    given = timezone.localdate(at)
    return left_on, Kept(*((day - given).days for day in (bare_on, promised_on, left_on)))


def promise_of_build(build: Build, now: datetime, here: Standing | None = None) -> Promise:
    """The date for a build that stands in the published plan. Raises ``NoPlan``, ``WrongState`` where it does not."""
    here = here or standing(now)
    planned = PlannedBuild.objects.filter(plan=here.plan, build=build).first()
    if planned is None or planned.leaves is None:
        raise WrongState(_("{serial} does not stand in the published plan yet.").format(serial=build.serial))
    return promise_beyond(timezone.localdate(planned.leaves), timezone.localdate(planned.starts), now, here)


@transaction.atomic
def accept_promise(
    *, spec: Spec, facts: OrderFacts, tasks: Sequence[ExpandedTask], shown: date, also_later: bool,
    person: Any, now: datetime,
) -> Booking:  # fmt: skip
    """Book the order's place and give the date that was shown, worked out again while nobody else can book.

    Raises ``PlaceGone`` with the new date where it is later than the one shown, unless that will do as well.
    """
    row = lock_published()
    quoted = quote_order(tasks, now=now, here=standing(now, row))
    return _booked(row, quoted.promise, shown, also_later, now, spec=spec, line=facts.line, facts=_facts(facts),
                   rows=pack(_rows(quoted)), person=person)  # fmt: skip


@transaction.atomic
def accept_build_promise(
    *, build: Build, facts: OrderFacts, shown: date, also_later: bool, person: Any, now: datetime
) -> Booking:
    """Give the date of a build that stands in the plan already. Raises ``PlaceGone``, ``WrongState``."""
    row = lock_published()
    promise = promise_of_build(build, now, standing(now, row))
    if Booking.objects.filter(build=build).exists():
        raise WrongState(_("{serial} has its promise already.").format(serial=build.serial))
    booking = _booked(row, promise, shown, also_later, now, spec=build.spec, line=facts.line, facts=_facts(facts),
                      rows=pack(no_rows()), build=build, person=person)  # fmt: skip
    build.promise = booking.promised_on
    build.save(update_fields=["promise"])
    return booking


def _booked(
    row: PublishedPlan, promise: Promise, shown: date, also_later: bool, now: datetime, **given: Any
) -> Booking:
    if promise.promised_on > shown and not also_later:
        raise PlaceGone(promise)
    booking = Booking.objects.create(
        plan=row.plan, bare_on=promise.bare_on, margin_days=promise.margin.days, level=promise.level,
        promised_on=max(promise.promised_on, shown), at=now, **given,
    )  # fmt: skip
    move_on(row, now)
    replan_after()
    return booking


def _facts(facts: OrderFacts) -> dict[str, Any]:
    return {name: value for name, value in asdict(facts).items() if name in FACTS}


def _rows(quoted: Quoted) -> PlanRows:
    here, work = quoted.standing, quoted.ordered.work
    count = len(work)
    blank = np.zeros(count, dtype=np.int64)
    problem = here.problem_of(work)
    return rows_of(problem, here.shop, quoted.place.plan, task=blank, build=blank, booking=blank,
                   position=np.arange(count, dtype=np.int64))  # fmt: skip


@transaction.atomic
def link_build(*, booking: Booking, build: Build) -> Booking:
    """The deposit cleared: from now on the build stands for the booking. Raises ``WrongState`` once withdrawn."""
    open_one = Booking.objects.filter(pk=booking.pk, build=None, withdrawn_at=None)
    if not open_one.update(build=build):
        raise WrongState(_("That promise was withdrawn or has its build already."))
    replan_after()
    return Booking.objects.get(pk=booking.pk)


@transaction.atomic
def withdraw_promise(*, booking: Booking, now: datetime) -> Booking:
    """The place is free again. Raises ``WrongState`` where it was withdrawn already."""
    row = lock_published()
    if not Booking.objects.filter(pk=booking.pk, withdrawn_at=None).update(withdrawn_at=now):
        raise WrongState(_("That promise was withdrawn already."))
    move_on(row, now)
    replan_after()
    return Booking.objects.get(pk=booking.pk)
