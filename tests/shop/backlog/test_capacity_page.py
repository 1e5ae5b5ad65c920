"""The manager's page of capacity: what is written down is kept, refused beside its field, and taken out once."""

from __future__ import annotations

from datetime import date, time, timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from routing.attendance import Absence, DayException, Overtime, PlacesOut, WorkingHours
from routing.attending import add_absence, set_working_hours
from routing.models import Holiday, Qualification, Station
from shop.people.models import Person
from tests.routing.made import station

pytestmark = pytest.mark.django_db
PAGE = "/backlog/capacity/"


@pytest.fixture
def client(client_of, manager):
    Qualification.objects.create(person=manager, station=station(), weekly_hours=20)
    return client_of(manager)


def monday() -> date:
    today = timezone.localdate()
    return today + timedelta(days=7 - today.weekday())


def press(client, kind: str, **given):
    fields = {f"{kind}-{name}": value for name, value in given.items()} | {"press": str(uuid4())}
    return client.post(reverse("backlog:capacity-add", args=[kind]), fields)


def given(kind: str, person: Person) -> dict[str, object]:
    day = monday()
    hours = {"date": day + timedelta(days=5), "begins": "08:00", "ends": "12:00"}
    return {
        "absence": {"person": person.pk, "first": day, "last": day + timedelta(days=13), "reason": "sea air"},
        "overtime": {"person": person.pk, **hours},
        "day": {**hours, "reason": "before the fair"},
        "closed": {"date": day, "name": "high water"},
        "places-out": {"station": station().pk, "first": day, "last": day, "places": 1, "reason": "filters"},
        "places": {"station": station().pk, "places": 3},
    }[kind]


KEPT = {"absence": Absence, "overtime": Overtime, "day": DayException, "closed": Holiday, "places-out": PlacesOut}


@pytest.mark.parametrize("kind", KEPT)
def test_each_is_kept_shown_and_taken_out_once(client, bench, kind):
    assert press(client, kind, **given(kind, bench)).status_code == 302
    row = KEPT[kind].objects.get()
    out = reverse("backlog:capacity-drop", args=[kind, row.pk])
    assert f'action="{out}"' in client.get(PAGE).content.decode()
    assert client.post(out, {"press": str(uuid4())}).status_code == 302
    assert not KEPT[kind].objects.exists()
    again = client.post(out, {"press": str(uuid4())})
    assert again.status_code == 409
    assert "taken out already" in again.content.decode()


def test_a_second_press_with_the_same_token_writes_nothing(client, bench):
    fields = {f"absence-{name}": value for name, value in given("absence", bench).items()} | {"press": str(uuid4())}
    answers = [client.post(reverse("backlog:capacity-add", args=["absence"]), fields) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 302]
    assert Absence.objects.count() == 1


@pytest.mark.parametrize(
    ("kind", "wrong", "field"),
    [
        ("absence", {"last": "2020-01-01"}, "last"),
        ("absence", {"person": ""}, "person"),
        ("overtime", {"ends": "07:00"}, "ends"),
        ("overtime", {"begins": "08:10"}, "begins"),
        ("day", {"date": "2020-01-01"}, "date"),
        ("closed", {"date": "no day"}, "date"),
        ("places-out", {"places": 2}, "places"),
        ("places", {"places": 0}, "places"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_nothing_is_kept(client, bench, kind, wrong, field):
    answer = press(client, kind, **given(kind, bench) | wrong)
    assert answer.status_code == 422
    form = answer.context["forms"][kind.replace("-", "_")]
    assert list(form.errors) == [field]
    assert f'<details id="form-{kind}" class="screen-only" open>' in answer.content.decode()
    assert not any(model.objects.exists() for model in KEPT.values())


def test_places_of_a_station_are_changed_and_those_out_today_are_taken_off(client, bench):
    press(client, "places", **given("places", bench))
    assert Station.objects.get().places == 3
    today = timezone.localdate()
    PlacesOut.objects.create(station=station(), first=today, last=today, places=2, reason="lent")
    place = client.get(PAGE).context["places_now"][0]
    assert (place.places, place.out) == (1, 2)


def test_the_week_shows_hours_absences_overtime_and_closed_days(client, bench, manager):
    day = monday()
    set_working_hours(person=bench, hours={0: [(time(8), time(12))], 1: [(time(9), time(11))]})
    add_absence(person=manager, first=day, last=day, reason="sea air")
    Overtime.objects.create(person=bench, date=day + timedelta(days=5), begins=time(8), ends=time(10))
    Holiday.objects.create(date=day + timedelta(days=1), name="high water")
    week = client.get(PAGE, {"week": day.isoformat()}).context["week"]
    rows = {row.person: [(cell.hours, cell.why) for cell in row.cells] for row in week.rows}
    usual, free = (["08:00–12:00", "13:00–17:00"], ""), ([], "")
    assert week.shop.cells[1].why == "high water"
    assert rows[manager] == [([], "away: sea air"), free, usual, usual, usual, free, free]
    assert rows[bench] == [
        (["08:00–12:00"], ""), free, free, free, free, (["08:00–10:00"], "with overtime"), free,
    ]  # fmt: skip
    assert [row.total_h for row in week.rows if row.person == bench] == [6]


def hours(**typed: str) -> dict[str, str]:
    return typed | {"press": str(uuid4())}


def test_a_person_s_week_is_kept_and_given_back_to_the_shop_s(client, bench):
    url = reverse("backlog:capacity-hours", args=[bench.pk])
    typed = hours(begins_0_0="08:00", ends_0_0="12:00", begins_0_1="13:00", ends_0_1="15:00")
    assert client.post(url, typed).status_code == 302
    assert list(WorkingHours.objects.values_list("weekday", "begins", "ends")) == [
        (0, time(8), time(12)), (0, time(13), time(15)),
    ]  # fmt: skip
    assert 'value="08:00"' in client.get(url).content.decode()
    client.post(url, hours(as_shop="on"))
    assert not WorkingHours.objects.exists()


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({}, "as_shop"),
        ({"begins_0_0": "08:00"}, "begins_0_0"),
        ({"begins_2_0": "12:00", "ends_2_0": "08:00"}, "begins_2_0"),
        ({"begins_2_0": "08:00", "ends_2_0": "12:00", "begins_2_1": "11:00", "ends_2_1": "13:00"}, "begins_2_0"),
    ],
)
def test_hours_that_cannot_be_are_said_beside_their_day(client, bench, typed, field):
    answer = client.post(reverse("backlog:capacity-hours", args=[bench.pk]), hours(**typed))
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]
    assert not WorkingHours.objects.exists()


@pytest.mark.parametrize("week", ["nonsense", "9999-12-31", "0001-01-01", "2026-02-31"])
def test_a_week_nobody_can_show_is_this_week(client, week):
    today = timezone.localdate()
    shown = client.get(PAGE, {"week": week}).context["week"]
    assert shown.monday == today - timedelta(days=today.weekday())


def test_everybody_reads_their_own_hours_and_nobody_else_s(client_of, bench, sales):
    today = timezone.localdate()
    for person in (bench, sales):
        Absence.objects.create(person=person, first=today, last=today, reason=f"of {person.username}")
    page = client_of(bench).get(reverse("backlog:my-hours")).content.decode()
    assert "of dunlin" in page
    assert "of sanderling" not in page
    assert client_of(bench).get(PAGE).status_code == 403


def test_one_row_asks_as_much_as_fifty(client):
    def questions() -> int:
        with CaptureQueriesContext(connection) as caught:
            assert client.get(PAGE).status_code == 200
        return len(caught)

    def rows(number: int) -> None:
        made = Person.objects.create_user(f"hand-{number}")
        Qualification.objects.create(person=made, station=station(f"bench-{number}"), weekly_hours=8)
        for kind, model in KEPT.items():
            model.objects.create(**filled(kind, made, number))

    rows(0)
    client.get(PAGE)
    few = questions()
    for number in range(1, 26):
        rows(number)
    assert questions() == few


def filled(kind: str, person: Person, number: int) -> dict[str, object]:
    day = timezone.localdate() + timedelta(days=number)
    hours = {"date": day, "begins": time(8), "ends": time(9)}
    return {
        "absence": {"person": person, "first": day, "last": day, "reason": "x"},
        "overtime": {"person": person, **hours},
        "day": {**hours, "reason": "x"},
        "closed": {"date": day, "name": "x"},
        "places-out": {"station": station(), "first": day, "last": day, "reason": "x"},
    }[kind]
