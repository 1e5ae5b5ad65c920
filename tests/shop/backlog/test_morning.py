"""The manager's page: counts, what to do first and why, and a fixed number of questions to the database."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from routing.models import Qualification
from routing.services import hold_task
from shop.backlog.morning import RELEASE
from tests.routing.made import TWO_MEET, build, station, task

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(client_of, manager):
    Qualification.objects.create(person=manager, station=station(), weekly_hours=20)
    return client_of(manager)


def floor(manager, serial: str, days: int, **more):
    now = timezone.now()
    promise = timezone.localdate() + timedelta(days=days)
    made = build(manager, *TWO_MEET, serial=serial, released_at=now, promise=promise, **more)
    made.tasks.filter(position__lt=2).update(ready_at=now - timedelta(days=1))
    return made


def test_an_empty_shop_says_what_comes_here(client):
    page = client.get("/backlog/").content.decode()
    assert "Nothing is late, at risk, held or stuck" in page


def test_late_at_risk_held_and_stuck_each_with_its_reason(client, manager):
    floor(manager, "C26-0001", -6)
    floor(manager, "C26-0002", 1)
    held = floor(manager, "C26-0003", 90)
    hold_task(task_id=task(held, 0).pk, person=manager, now=timezone.now(), reason="board lifts")
    slow = floor(manager, "C26-0004", 90)
    slow.tasks.filter(position=0).update(ready_at=timezone.now() - timedelta(days=9))
    morning = client.get("/backlog/").context["morning"]
    told = [(line.word, line.serial) for line in morning.do_first]
    assert told == [
        ("Late 6 days", "C26-0001"), ("At risk", "C26-0002"), ("Held", "C26-0003"), ("Stuck", "C26-0004"),
    ]  # fmt: skip
    assert "board lifts" in morning.do_first[2].why
    assert "9 days; usual 3" in morning.do_first[3].why
    assert (morning.late_count, morning.risk_count, morning.held_count, morning.floor_count) == (1, 1, 1, 4)


def test_a_station_is_over_or_holds_in_word_and_shape(client, manager):
    made = floor(manager, "C26-0001", 0)
    made.tasks.update(usual_h=100)
    page = client.get("/backlog/").content.decode()
    assert '<span class="signal stop"><b>over</b></span>' in page
    made.tasks.update(usual_h=1)
    page = client.get("/backlog/").content.decode()
    assert "Fret bench</th>" in page
    assert '<span class="signal go"><b>holds</b></span>' in page


def test_what_can_be_released_stands_there(client, manager):
    build(manager, (RELEASE.name, "sales-desk", (), 0), serial="C26-0009")
    morning = client.get("/backlog/").context["morning"]
    assert [(line.word, line.serial) for line in morning.do_first] == [("Release", "C26-0009")]


def test_only_the_manager_opens_it(client_of, bench):
    assert client_of(bench).get("/backlog/").status_code == 403


def test_one_row_asks_as_much_as_fifty(client, manager):
    def questions() -> int:
        with CaptureQueriesContext(connection) as caught:
            assert client.get("/backlog/").status_code == 200
        return len(caught)

    def rows(number: int) -> None:
        for days in (-5, 1, 90):
            made = floor(manager, f"C26-{number:02d}{days + 5:02d}", days)
            hold_task(task_id=task(made, 1).pk, person=manager, now=timezone.now(), reason="dent")

    rows(0)
    client.get("/backlog/")
    few = questions()
    for number in range(1, 17):
        rows(number)
    assert questions() == few
