"""The page of load: planned hours counted by a plain loop, the bottleneck with its reasons, constant queries."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from routing.attendance import Absence
from routing.models import Qualification, Station
from routing.planning.loading import TIGHT, Load, tightest
from routing.planning.published import rows_of_plan
from shop.backlog.load import LoadPage
from shop.people.models import Person
from tests.routing.planning.planned_shop import build, crew, published, run

pytestmark = pytest.mark.django_db
PAGE = "/backlog/load/"


@pytest.fixture
def client(client_of, manager):
    return client_of(manager)


@pytest.fixture
def planned(db):
    owner = crew(1)[0]
    build(owner, "C26-0001", promise=timezone.localdate() - timedelta(days=1))
    run()
    return owner


def shown(client, query: str = ""):
    return client.get(PAGE + query).context["load"]


def test_without_a_plan_it_says_what_to_press(client):
    assert "<b>Plan again</b>" in client.get(PAGE).content.decode()


def test_a_persons_hours_are_the_quarters_of_the_plan_at_which_they_are_there(client, planned):
    page, rows = shown(client, "?weeks=13"), rows_of_plan(published().pk)
    found = next(load for load in page.by_person if load.key == planned.pk)
    axis, hands = page.shop.axis, page.shop.capacity.hands[page.shop.crew.person_rows[planned.pk]]
    weeks = [0] * 13
    for begin, end, person in zip(rows.begins.tolist(), rows.ends.tolist(), rows.person.tolist(), strict=True):
        for at, there in zip(axis.begins.tolist(), hands.tolist(), strict=True):
            day = timezone.localdate(datetime.fromtimestamp(60 * at, UTC))
            week = (day - page.mondays[0]).days // 7
            if person == planned.pk and begin <= at < end and there and week < 13:
                weeks[week] += 1
    assert list(found.hours) == [count / 4 for count in weeks]
    assert sum(found.hours) > 10


def test_stations_share_one_person_and_add_up_to_their_hours(client, planned):
    page = shown(client)
    stations = [load for load in page.by_station if load.name != "Cure rack"]
    assert sum(sum(load.hours) for load in stations) == pytest.approx(sum(page.by_person[0].hours))
    assert all(sum(load.there) == sum(page.by_person[0].there) for load in stations if load.hours != load.there)


def test_the_bottleneck_says_load_queue_missing_hours_and_who(client, planned):
    today = timezone.localdate()
    Absence.objects.create(person=planned, first=today, last=today + timedelta(days=2), reason="sea")
    said = dict(shown(client).reasons)
    assert list(said) == ["Load", "Queue", "Missing", "Who", "Would help"]
    assert "hours in the next 4 weeks are planned" in said["Load"]
    assert f"{planned} (away " in said["Who"]
    assert "after the promise" in said["Missing"]


def test_a_tight_station_asks_for_overtime_or_other_hands(client, planned):
    wires = Person.objects.create_user("turnstone")
    Qualification.objects.create(person=wires, station=Station.objects.get(slug="wiring-bench"), weekly_hours=30)
    station = Station.objects.get(slug="fret-bench")
    page = LoadPage(timezone.now())
    page.tightest = Load(station.name, station.pk, (40.0,) * 8, (40.0,) * 8)
    helps = [text for word, text in page.reasons if word == "Would help"]
    assert "hours of overtime there" in helps[0]
    assert helps[1].startswith("another pair of hands qualified for it: turnstone has ")


def test_tight_is_a_share_and_nothing_there_is_no_share():
    assert Load("a", 1, (TIGHT * 10,), (10.0,)).is_tight
    assert not Load("a", 1, (8.4,), (10.0,)).is_tight
    assert Load("a", 1, (3.0,), (0.0,)).share == 0.0
    assert tightest([Load("a", 1, (1.0,), (10.0,)), Load("b", 2, (2.0,), (10.0,))]).name == "b"
    assert tightest([Load("a", 1, (0.0,), (10.0,))]) is None


def test_more_instruments_ask_no_more(client, planned):
    def queries() -> int:
        client.get(PAGE)
        with CaptureQueriesContext(connection) as caught:
            client.get(PAGE)
        return len(caught)

    before = queries()
    for number in range(3, 8):
        build(planned, f"C26-{number:04d}")
    run()
    assert queries() == before
