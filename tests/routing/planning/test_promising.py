"""Dates given: quoted, booked once, refused where the place has gone, free again when taken back."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from django.utils import timezone

from routing.ahead import DESPATCH
from routing.models import Booking, Build, Qualification, Station, Task, TaskState
from routing.planning.making import read_line
from routing.planning.promising import (
    PlaceGone,
    accept_build_promise,
    accept_promise,
    link_build,
    promise_of_build,
    promises_kept,
    quote_order,
    withdraw_promise,
)
from routing.planning.published import NoPlan, open_bookings, pointer, rows_of_plan, standing
from routing.planning.stored import unpack
from specs.errors import Refused, WrongState
from tests.routing.planning.planned_shop import FACTS, build, crew, published, run, spec, tasks

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner():
    return crew()[0]


@pytest.fixture
def shop(owner):
    """A published plan of three builds."""
    for number in range(3):
        build(owner, f"C26-000{number}", promise=timezone.localdate() + timedelta(days=300))
    run()
    return owner


def accept(owner, **more) -> Booking:
    given = {"spec": spec(owner), "facts": FACTS, "tasks": tasks(), "person": owner, "now": timezone.now()}
    shown = quote_order(tasks(), now=given["now"]).promise.promised_on
    return accept_promise(**given | {"shown": shown, "also_later": False} | more)


def test_before_the_first_plan_there_is_no_date(owner):
    with pytest.raises(NoPlan):
        quote_order(tasks(), now=timezone.now())


def test_a_quote_tells_the_day_the_margin_and_why(shop):
    quoted = quote_order(tasks(), now=timezone.now())
    promise, why = quoted.promise, quoted.why
    assert timezone.localdate() < promise.begins_on < promise.bare_on < promise.promised_on
    assert (promise.margin.source, promise.level) == ("prior", 0.8)
    assert [why.steps[0].operation, why.steps[-1].operation] == ["Enquiry and consultation", DESPATCH]
    assert why.told.startswith(f"{round(2 * why.work_days) / 2:g} working days of work")
    assert why.steps[-1].ends_on == promise.bare_on
    assert promise.promised_on.weekday() < 5


def test_another_finish_tells_what_it_gains(shop):
    slow = [task if task.operation != "Oil cure" else replace(task, wait_h=40 * 24) for task in tasks()]
    quoted = quote_order(slow, now=timezone.now(), others={"an oil finish": tasks()})
    gains = {one.what: one.days for one in quoted.sooner}
    assert (
        gains["an oil finish"]
        == (quoted.promise.bare_on - quote_order(tasks(), now=timezone.now()).promise.bare_on).days
    )


def test_what_one_place_more_gains_at_the_station_that_holds_it(shop):
    Qualification.objects.filter(station__name="Fret bench").exclude(person=shop).delete()
    Qualification.objects.filter(person=shop).exclude(station__name="Fret bench").delete()
    for number in range(10, 22):
        build(shop, f"C26-00{number}")
    Task.objects.filter(station__name="Fret bench").update(low_h=8, usual_h=8, high_h=8)
    run()
    quoted = quote_order(tasks(), now=timezone.now())
    assert quoted.why.holds == "Fret bench"
    assert not quoted.why.for_place
    assert any("Fret bench" in one.what and one.days > 0 for one in quoted.sooner)
    assert any(one.what.startswith("first in line") for one in quoted.sooner)


def test_a_shop_without_hands_promises_nothing(shop):
    Station.objects.get(name="Fret bench").qualifications.all().delete()
    withdraw_promise(booking=accept_anyhow(shop), now=timezone.now())
    with pytest.raises(Refused, match="Nobody may work at: Fret bench"):
        quote_order(tasks(), now=timezone.now())


def accept_anyhow(owner) -> Booking:
    return Booking.objects.create(
        spec=spec(owner), line="custom", rows=b"", bare_on=timezone.localdate(), margin_days=0, level=0.8,
        promised_on=timezone.localdate(), person=owner, at=timezone.now(),
    )  # fmt: skip


def test_what_is_booked_is_out_of_the_way(shop):
    first = accept(shop)
    version = pointer().version
    second = accept(shop)
    assert first.promised_on <= second.promised_on
    assert pointer().version == version + 1
    one, other = (unpack(bytes(booking.rows)) for booking in (first, second))
    assert not _meet(one, other)


def _meet(one, other) -> bool:
    """Whether a person is on both at the same time."""
    return any(
        person == who and begins < until and since < ends
        for person, begins, ends in zip(one.person, one.begins, one.ends, strict=True)
        for who, since, until in zip(other.person, other.begins, other.ends, strict=True)
        if person
    )


def test_a_place_that_has_gone_is_refused_with_the_new_day(shop):
    shown = quote_order(tasks(), now=timezone.now()).promise.promised_on
    early = shown - timedelta(days=1)
    with pytest.raises(PlaceGone, match="nothing was booked") as refusal:
        accept(shop, shown=early)
    assert refusal.value.promise.promised_on == shown
    assert not Booking.objects.exists()
    assert accept(shop, shown=early, also_later=True).promised_on == shown


def test_a_later_day_than_need_be_is_the_day_given(shop):
    late = quote_order(tasks(), now=timezone.now()).promise.promised_on + timedelta(days=30)
    assert accept(shop, shown=late).promised_on == late


def test_a_replan_keeps_the_day_of_a_booking(shop):
    booking = accept(shop)
    run()
    kept = booking.planned.get(plan=published())
    assert timezone.localdate(kept.leaves) <= booking.bare_on
    line = read_line(timezone.now(), rows_of_plan(published().pk), list(open_bookings().select_related("spec")))
    assert [one.pk for one, _work in line.bookings] == [booking.pk]


def test_withdrawn_its_place_is_free_again(shop):
    before = standing(timezone.now()).profile.flat.free.sum()
    booking = accept(shop)
    assert standing(timezone.now()).profile.flat.free.sum() < before
    withdraw_promise(booking=booking, now=timezone.now())
    assert standing(timezone.now()).profile.flat.free.sum() == before
    run()
    with pytest.raises(WrongState, match="withdrawn already"):
        withdraw_promise(booking=booking, now=timezone.now())


def test_withdrawn_after_a_replan_its_place_is_free_too(shop):
    booking = accept(shop)
    run()
    full = standing(timezone.now()).profile.flat.free.sum()
    withdraw_promise(booking=booking, now=timezone.now())
    assert standing(timezone.now()).profile.flat.free.sum() > full


def test_the_build_takes_the_place_of_the_booking(shop):
    booking = accept(shop)
    made = build(shop, "C26-0099", promise=booking.promised_on)
    link_build(booking=booking, build=made)
    assert list(open_bookings()) == []
    run()
    rows = rows_of_plan(published().pk)
    assert made.pk in rows.build
    assert booking.pk not in rows.booking
    with pytest.raises(WrongState):
        link_build(booking=booking, build=made)


def test_a_build_without_a_promise_is_given_the_plans_day_and_the_margin(shop):
    made = Build.objects.get(serial="C26-0002")
    promise = promise_of_build(made, timezone.now())
    given = {"build": made, "facts": FACTS, "shown": promise.promised_on, "also_later": False, "person": shop}
    booking = accept_build_promise(**given, now=timezone.now())
    made.refresh_from_db()
    assert (made.promise, booking.build) == (promise.promised_on, made)
    with pytest.raises(WrongState, match="already"):
        accept_build_promise(**given, now=timezone.now())


def test_promises_that_came_due_in_their_order(shop):
    now = timezone.now()
    booking = accept(shop)
    made = build(shop, "C26-0099")
    link_build(booking=booking, build=made)
    assert promises_kept(now) == []
    Booking.objects.filter(pk=booking.pk).update(at=now - timedelta(days=100),
                                                 bare_on=timezone.localdate(now) - timedelta(days=10),
                                                 promised_on=timezone.localdate(now) - timedelta(days=4))  # fmt: skip
    still = promises_kept(now)
    assert [(one.bare, one.promised, one.finished, one.is_kept) for one in still] == [(90, 96, 100, False)]
    Task.objects.filter(build=made, operation=DESPATCH).update(state=TaskState.DONE, done_at=now - timedelta(days=7))
    left = promises_kept(now)
    assert [(one.error, one.is_kept) for one in left] == [(3, True)]


def test_asking_changes_nothing(shop):
    here = standing(timezone.now())
    before = [array.tobytes() for array in here.profile.flat]
    rows = [column.tolist() for column in rows_of_plan(published().pk)]
    for _time in range(5):
        quote_order(tasks(), now=timezone.now())
    assert [array.tobytes() for array in standing(timezone.now()).profile.flat] == before
    assert [column.tolist() for column in rows_of_plan(published().pk)] == rows
    assert np.all(here.profile.flat.free >= 0)
