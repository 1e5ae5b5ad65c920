"""The bench pages: what is next, what the card says, what the buttons do with and without JavaScript."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from routing.models import Qualification, Task, TaskState
from routing.services import hold_task, start_task
from specs.units import decimal_inches
from tests.shop.floor.shop_day import released, stand_at

pytestmark = pytest.mark.django_db


@pytest.fixture
def fretting(bench, manager) -> Task:
    task = stand_at(released(manager), "Fretting", done_by=manager)
    Qualification.objects.create(person=bench, station=task.station, weekly_hours=30)
    return task


@pytest.fixture
def client(client_of, bench):
    return client_of(bench)


def press(client, task, verb, htmx=False, **more):
    headers = {"HX-Request": "true"} if htmx else {}
    data = {"press": str(uuid4()), "page": "station", **more}
    return client.post(f"/bench/task/{task.pk}/{verb}/", data, headers=headers)


def state(task) -> str:
    return Task.objects.get(pk=task.pk).state


def test_stations_count_what_stands_there_and_ones_own_come_first(client, manager, fretting):
    start_task(task_id=fretting.pk, person=manager, now=timezone.now())
    page = client.get("/bench/")
    rows = page.context["own"]
    assert {row.station for row in rows}.isdisjoint(row.station for row in page.context["others"])
    here = next(row for row in rows if row.station == fretting.station)
    ready = Task.objects.filter(station=fretting.station, state=TaskState.READY).count()
    assert (here.ready, here.on_bench, here.waiting, here.held) == (ready, 1, 0, 0)


def test_the_station_shows_the_next_task_with_its_figures_and_cautions(client, fretting):
    page = client.get("/bench/fret-bench/").content.decode()
    sayings = (
        "C26-0142", "RIGHT-HANDED", "sheet rev A", "Wire to cut, all frets", "Bend radius, fret 1 · last",
        "five strings, 37–34 in", "Eye protection. Fan for CA.", "the local rule wins", "<svg",
    )  # fmt: skip
    for said in sayings:
        assert said in page


def test_a_left_handed_instrument_says_so_in_words(client_of, manager):
    task = stand_at(released(manager, hand="left"), "Fret slotting", done_by=manager)
    page = client_of(manager).get(f"/bench/task/{task.pk}/").content.decode()
    assert "LEFT-HANDED" in page
    assert "Second person signs" in page


def test_inches_for_who_reads_inches(client, bench, fretting):
    bench.units = "in"
    bench.save()
    wire = decimal_inches(fretting.build.spec.answer["board"]["wire_total_mm"])
    assert wire in client.get("/bench/fret-bench/").content.decode()


def test_checks_stand_open_on_the_card(client, fretting):
    page = client.get("/bench/fret-bench/").content.decode()
    assert page.index("<b>Check</b>") < page.index("<details")


def test_start_and_done_without_javascript_come_back_to_the_station(client, fretting):
    assert press(client, fretting, "start").headers["Location"] == "/bench/fret-bench/"
    assert state(fretting) == TaskState.ON_BENCH
    assert "data-awake" in client.get("/bench/fret-bench/").content.decode()
    press(client, fretting, "done", reading_0="0,02", note="tight")
    event = fretting.events.last()
    assert (state(fretting), list(event.readings.values()), event.note) == (TaskState.DONE, [0.02], "tight")
    assert "Undo (for a minute)" in client.get("/bench/fret-bench/").content.decode()


def test_a_press_by_htmx_swaps_the_bench_fragment(client, fretting):
    answer = press(client, fretting, "start", htmx=True)
    assert answer.content.decode().startswith('<div id="bench">')
    assert "On the bench" in answer.content.decode()


def test_a_reading_that_is_no_number_is_said_beside_it_and_nothing_is_done(client, fretting):
    press(client, fretting, "start")
    answer = press(client, fretting, "done", reading_0="tight")
    assert (answer.status_code, state(fretting)) == (400, TaskState.ON_BENCH)
    assert "Enter a number." in answer.content.decode()


def test_the_second_start_gets_409_and_the_fresh_row(client, client_of, manager, fretting):
    start_task(task_id=fretting.pk, person=manager, now=timezone.now())
    for htmx in (False, True):
        answer = press(client, fretting, "start", htmx=htmx)
        assert answer.status_code == 409
        assert "on the bench with avocet since" in answer.content.decode()


def test_an_unqualified_hand_gets_403_and_who_may(client_of, sales, fretting):
    answer = press(client_of(sales), fretting, "start")
    assert answer.status_code == 403
    assert "a manager may, and: dunlin" in answer.content.decode()


def test_a_problem_holds_with_its_reason_and_is_lifted(client, fretting):
    assert press(client, fretting, "hold").status_code == 400
    press(client, fretting, "hold", usual="parts or wood missing", reason="wire")
    assert (state(fretting), fretting.holds.get().reason) == (TaskState.HELD, "parts or wood missing: wire")
    assert "parts or wood missing: wire" in client.get("/bench/fret-bench/").content.decode()
    press(client, fretting, "lift")
    assert state(fretting) == TaskState.READY


def test_undo_and_reopen(client, fretting):
    press(client, fretting, "start")
    press(client, fretting, "done")
    press(client, fretting, "undo")
    assert state(fretting) == TaskState.ON_BENCH
    press(client, fretting, "done")
    press(client, fretting, "reopen", reason="one fret high")
    assert state(fretting) == TaskState.READY


def test_the_same_token_twice_writes_once(client, fretting):
    token = str(uuid4())
    answers = [press(client, fretting, "start", press=token).status_code for _again in range(2)]
    assert (answers, fretting.events.count()) == ([302, 302], 1)


def test_a_sheet_of_an_old_revision_is_superseded(client, fretting):
    assert "SUPERSEDED" not in client.get(f"/bench/task/{fretting.pk}/?rev=A").content.decode()
    page = client.get(f"/bench/task/{fretting.pk}/?rev=0").content.decode()
    assert "SUPERSEDED" in page
    assert "Revision A has taken its place" in page


def test_a_waiting_task_says_until_when(client, fretting):
    later = timezone.now() + timedelta(hours=5)
    Task.objects.filter(pk=fretting.pk).update(ready_at=later)
    assert "rest until" in client.get("/bench/fret-bench/").content.decode()
    assert press(client, fretting, "start").status_code == 409


def test_no_such_task(client, fretting):
    assert press(client, Task(pk=999999), "start").status_code == 404


def test_a_station_asks_the_same_for_one_row_and_for_fifty(client, fretting, manager, queries_of):
    queries_of(client, "/bench/fret-bench/")
    few = queries_of(client, "/bench/fret-bench/")
    for number in range(50):
        row = Task.objects.get(pk=fretting.pk)
        row.pk, row.position = None, 200 + number
        row.ready_at += timedelta(days=900) if number % 3 == 0 else timedelta()
        row.save()
        if number % 3 == 1:
            hold_task(task_id=row.pk, person=manager, now=timezone.now(), reason="wood")
    assert queries_of(client, "/bench/fret-bench/") == few
    assert queries_of(client, "/bench/") == 5
