"""How capacity is changed: what is kept, and what is refused with its reason; the database as the last net."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest
from django.db import IntegrityError, transaction

from routing.attendance import Absence, DayException, Overtime, PlacesOut, WorkingHours
from routing.attending import (
    add_absence,
    add_day,
    add_overtime,
    close_day,
    set_places,
    set_working_hours,
    take_places_out,
)
from routing.models import Holiday
from routing.planning.rota import read_rota, shop_calendar
from specs.errors import Refused
from tests.routing.made import NOW, person, station

pytestmark = pytest.mark.django_db
TODAY = date(2026, 4, 13)
MORNING, AFTERNOON = (time(8), time(12)), (time(13), time(17))


@pytest.fixture
def hand(db):
    return person("dunlin", stations=("fret-bench",))


def refusal(act, **given) -> list[tuple[str, str]]:
    with pytest.raises(Refused) as caught:
        act(**given)
    return [(problem.field, problem.code) for problem in caught.value.problems]


def test_a_person_s_own_week_replaces_the_shop_s_and_is_given_back(hand):
    set_working_hours(person=hand, hours={0: [MORNING], 2: [MORNING, (time(22), time())]})
    assert read_rota(TODAY, TODAY).weeks[hand.pk][2] == ((480, 720), (1320, 1440))
    set_working_hours(person=hand, hours={})
    rota = read_rota(TODAY, TODAY)
    assert (rota.weeks, rota.at_work(hand.pk, TODAY)) == ({}, ((480, 720), (780, 1020)))


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        ([AFTERNOON, MORNING, (time(11), time(14))], [("1.begins", "overlap")]),
        ([(time(12), time(8))], [("1.ends", "order")]),
        ([(time(8, 10), time(12))], [("1.begins", "quarter")]),
    ],
)
def test_hours_that_cannot_be_are_refused_and_the_old_ones_stay(hand, hours, said):
    set_working_hours(person=hand, hours={0: [MORNING]})
    assert refusal(set_working_hours, person=hand, hours={1: hours}) == said
    assert list(hand.working_hours.values_list("weekday", "begins")) == [(0, time(8))]


def test_nobody_is_away_twice(hand):
    add_absence(person=hand, first=TODAY, last=TODAY + timedelta(days=13), reason="sea air")
    days = {"first": TODAY + timedelta(days=13), "last": TODAY + timedelta(days=20)}
    assert refusal(add_absence, person=hand, reason="again", **days) == [("first", "taken")]
    add_absence(person=person("knot"), reason="sea air", **days)
    assert read_rota(TODAY, TODAY + timedelta(days=30)).is_away(hand.pk, TODAY + timedelta(days=13))


def test_an_absence_runs_forward_and_ends_within_a_year(hand):
    backwards = {"first": TODAY, "last": TODAY - timedelta(days=1)}
    assert refusal(add_absence, person=hand, reason="x", **backwards) == [("last", "order")]
    endless = {"first": TODAY, "last": TODAY + timedelta(days=400)}
    assert refusal(add_absence, person=hand, reason="x", **endless) == [("last", "range")]


def test_overtime_is_what_goes_beyond_the_hours(hand):
    given = {"person": hand, "date": TODAY, "today": TODAY}
    assert refusal(add_overtime, begins=time(16), ends=time(18), **given) == [("begins", "taken")]
    add_overtime(begins=time(17), ends=time(18, 30), **given)
    assert refusal(add_overtime, begins=time(18), ends=time(19), **given) == [("begins", "taken")]
    assert read_rota(TODAY, TODAY).at_work(hand.pk, TODAY) == ((480, 720), (780, 1110))


def test_no_overtime_on_a_day_that_is_over_or_away(hand):
    add_absence(person=hand, first=TODAY, last=TODAY, reason="sea air")
    hours = {"person": hand, "begins": time(18), "ends": time(19), "today": TODAY}
    assert refusal(add_overtime, date=TODAY, **hours) == [("date", "away")]
    assert refusal(add_overtime, date=TODAY - timedelta(days=1), **hours) == [("date", "past")]


def test_a_worked_saturday_is_in_the_calendar_too():
    saturday = TODAY + timedelta(days=5)
    add_day(date=saturday, begins=time(8), ends=time(12), reason="before the fair", today=TODAY)
    assert shop_calendar().work_between(NOW, NOW + timedelta(days=7)) == 44
    again = {"date": saturday, "begins": time(11), "ends": time(13), "reason": "x", "today": TODAY}
    assert refusal(add_day, **again) == [("begins", "taken")]
    assert refusal(close_day, date=saturday, name="x", today=TODAY) == [("date", "taken")]


def test_the_calendar_is_one_query(django_assert_num_queries):
    close_day(date=TODAY, name="high water", today=TODAY)
    add_day(date=TODAY + timedelta(days=5), begins=time(13), ends=time(15), reason="fair", today=TODAY)
    add_day(date=TODAY + timedelta(days=5), begins=time(8), ends=time(12), reason="fair", today=TODAY)
    with django_assert_num_queries(1):
        calendar = shop_calendar()
    assert (calendar.holidays, calendar.exceptions) == (
        {TODAY}, {TODAY + timedelta(days=5): ((time(8), time(12)), (time(13), time(15)))}
    )  # fmt: skip


def test_a_closed_day_is_closed_once_and_gets_no_hours():
    close_day(date=TODAY, name="high water", today=TODAY)
    assert refusal(close_day, date=TODAY, name="again", today=TODAY) == [("date", "taken")]
    hours = {"begins": time(8), "ends": time(9), "reason": "x", "today": TODAY}
    assert refusal(add_day, date=TODAY, **hours) == [("date", "taken")]


def test_no_more_places_go_out_than_there_are():
    bench = set_places(station=station(), places=2)
    days = {"first": TODAY, "last": TODAY + timedelta(days=1), "reason": "lent"}
    assert refusal(take_places_out, station=bench, places=3, **days) == [("places", "range")]
    assert take_places_out(station=bench, places=2, **days).places == 2
    assert refusal(set_places, station=bench, places=0) == [("places", "range")]


@pytest.mark.parametrize(
    "row",
    [
        lambda who, bench: WorkingHours(person=who, weekday=7, begins=time(8), ends=time(9)),
        lambda who, bench: WorkingHours(person=who, weekday=0, begins=time(9), ends=time(8)),
        lambda who, bench: Absence(person=who, first=TODAY, last=TODAY - timedelta(days=1), reason="x"),
        lambda who, bench: Overtime(person=who, date=TODAY, begins=time(9), ends=time(9)),
        lambda who, bench: DayException(date=TODAY, begins=time(9), ends=time(8), reason="x"),
        lambda who, bench: PlacesOut(station=bench, first=TODAY, last=TODAY, places=0, reason="x"),
    ],
)
def test_the_database_keeps_no_nonsense(hand, row):
    with pytest.raises(IntegrityError), transaction.atomic():
        row(hand, station()).save()


def test_the_rota_is_read_in_five_queries_whatever_it_holds(hand, django_assert_num_queries):
    set_working_hours(person=hand, hours={day: [MORNING, AFTERNOON] for day in range(5)})
    for ahead in range(20):
        day = TODAY + timedelta(days=ahead)
        Overtime.objects.create(person=hand, date=day, begins=time(18), ends=time(19))
        Absence.objects.create(person=hand, first=day, last=day, reason="x")
        Holiday.objects.create(date=day, name="x")
    with django_assert_num_queries(5):
        read_rota(TODAY, TODAY + timedelta(days=30))
