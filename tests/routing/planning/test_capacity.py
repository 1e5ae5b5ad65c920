"""Capacity for the plan: against a walk through every quarter-hour of a year, and clock changes counted by hand."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from routing.attendance import Absence, DayException, Overtime, PlacesOut, WorkingHours
from routing.attending import set_working_hours
from routing.models import Holiday, Qualification, Station
from routing.planning.capacity import shop_capacity
from tests.routing.made import NOW, person, station

pytestmark = pytest.mark.django_db
AWAY = (date(2026, 7, 6), date(2026, 7, 19))
CLOSED, SATURDAY = date(2026, 6, 10), date(2026, 5, 16)


@pytest.fixture(autouse=True)
def _lisbon(settings):
    settings.TIME_ZONE = "Europe/Lisbon"


@pytest.fixture
def hands(db):
    full = person("dunlin", stations=("fret-bench", "cure-rack"))
    half = person("knot", stations=("body-bench",))
    set_working_hours(person=half, hours={day: [(time(7, 30), time(12, 30))] for day in range(3)})
    return full, half


def local(minute: int) -> datetime:
    return datetime.fromtimestamp(int(minute) * 60, UTC).astimezone(ZoneInfo("Europe/Lisbon"))


def brute(minute: int) -> tuple[bool, bool, bool]:
    """Shop, full hand, half hand at that quarter-hour, told from the clock on the wall."""
    shown = local(minute)
    day, at = shown.date(), shown.hour + shown.minute / 60
    usual = (8 <= at < 12 or 13 <= at < 17) and day.weekday() < 5
    half = 7.5 <= at < 12.5 and day.weekday() < 3
    if day == CLOSED:
        return False, 10 <= at < 11, False
    if day == SATURDAY:
        return 8 <= at < 11, 8 <= at < 11, False
    return usual, usual and not AWAY[0] <= day <= AWAY[1], half


def test_every_quarter_of_a_year_agrees_with_brute_force(hands):
    full, half = hands
    Absence.objects.create(person=full, first=AWAY[0], last=AWAY[1], reason="sea air")
    Overtime.objects.create(person=full, date=CLOSED, begins=time(10), ends=time(11))
    Holiday.objects.create(date=CLOSED, name="high water")
    DayException.objects.create(date=SATURDAY, begins=time(8), ends=time(11), reason="fair")
    shop = shop_capacity(NOW, days=365)
    begin = int(NOW.timestamp()) // 60
    wanted = {minute: brute(minute) for minute in range(begin, begin + 365 * 1440, 15)}
    wanted = {minute: who for minute, who in wanted.items() if any(who)}
    assert shop.axis.begins.tolist() == list(wanted)
    assert shop.crew.people == sorted((full.pk, half.pk))
    assert shop.capacity.hands[shop.crew.person_rows[full.pk]].tolist() == [who[1] for who in wanted.values()]
    assert shop.capacity.hands[shop.crew.person_rows[half.pk]].tolist() == [who[2] for who in wanted.values()]
    days = [local(minute).date() for minute in wanted]
    assert shop.axis.day.tolist() == [sorted(set(days)).index(day) for day in days]
    assert np.all(shop.axis.ends == shop.axis.begins + 15)


@pytest.mark.parametrize(
    ("now", "hours", "clock"),
    [
        (datetime(2026, 10, 23, 8, tzinfo=UTC), 72, "2026-10-26 16:00"),
        (datetime(2026, 3, 27, 8, tzinfo=UTC), 63, "2026-03-30 09:00"),
        (datetime(2026, 10, 23, 8, tzinfo=UTC), 64, "2026-10-26 08:00"),
    ],
    ids=["the clock put back", "the clock put forward", "the hour gained"],
)
def test_a_wait_over_a_clock_change_is_true_hours(hands, now, hours, clock):
    """Work ends on Friday at 17:00 by the wall clock; the wait is counted on a clock that never changes."""
    shop = shop_capacity(now, days=20)
    end = shop.end_of(now.date())
    assert f"{local(shop.axis.ends[end - 1]):%H:%M}" == "17:00"
    tick = shop.axis.lag_table(60 * hours)[end]
    assert f"{local(shop.axis.begins[tick]):%Y-%m-%d %H:%M}" == clock


def test_places_out_are_taken_off_on_their_days_and_never_below_nothing(hands):
    bench = station("fret-bench")
    Station.objects.filter(pk=bench.pk).update(places=2)
    days = {"first": NOW.date() + timedelta(days=1), "last": NOW.date() + timedelta(days=2)}
    PlacesOut.objects.create(station=bench, places=1, reason="lent", **days)
    PlacesOut.objects.create(station=bench, places=2, reason="fire", first=days["last"], last=days["last"])
    shop = shop_capacity(NOW, days=7)
    places = shop.capacity.places[shop.crew.station_rows[bench.pk]]
    by_day = [set(places[shop.begin_of(day) : shop.end_of(day)].tolist()) for day in
              (NOW.date() + timedelta(days=ahead) for ahead in range(4))]  # fmt: skip
    assert by_day == [{2}, {1}, {0}, {2}]


def test_who_may_work_where_and_what_needs_nobody(hands):
    full, _half = hands
    closed = person("gone", stations=("fret-bench",))
    closed.is_active = False
    closed.save()
    shop = shop_capacity(NOW, days=3)
    rows = shop.crew.station_rows
    place = {slug: rows[station(slug).pk] for slug in ("fret-bench", "cure-rack", "body-bench")}
    able = shop.capacity.able[shop.crew.person_rows[full.pk]]
    assert [bool(able[place[slug]]) for slug in place] == [True, True, False]
    assert closed.pk not in shop.crew.people
    assert [bool(shop.capacity.needs_hands[place[slug]]) for slug in place] == [True, False, True]


def test_ticks_begin_at_the_next_quarter(hands):
    shop = shop_capacity(NOW + timedelta(minutes=1), days=3)
    assert local(shop.axis.begins[0]).strftime("%H:%M") == "09:15"
    assert shop.tick_at(NOW + timedelta(minutes=16)) == 1


def test_capacity_is_eight_queries_whatever_there_is(hands, django_assert_num_queries):
    for number in range(20):
        made = person(f"hand-{number}", stations=(f"bench-{number}",))
        WorkingHours.objects.create(person=made, weekday=0, begins=time(8), ends=time(12))
        Absence.objects.create(person=made, first=NOW.date(), last=NOW.date(), reason="x")
        PlacesOut.objects.create(station=station(f"bench-{number}"), first=NOW, last=NOW, reason="x")
    assert Qualification.objects.count() == 23
    with django_assert_num_queries(8):
        shop_capacity(NOW, days=30)
