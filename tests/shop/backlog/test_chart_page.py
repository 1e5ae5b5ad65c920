"""The page of the time chart: what it shows in words and bars, its links, its table, a fixed number of queries."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.conf import settings
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from routing.models import Task
from routing.planning.published import rows_of_plan
from tests.routing.planning.planned_shop import build, crew, published, run

pytestmark = pytest.mark.django_db
PAGE = "/backlog/chart/"


@pytest.fixture
def client(client_of, manager):
    return client_of(manager)


@pytest.fixture
def planned(db):
    owner = crew(1)[0]
    build(owner, "C26-0001", promise=timezone.localdate() + timedelta(days=400))
    build(owner, "C26-0002", promise=timezone.localdate() - timedelta(days=1))
    run()
    return owner


def text(client, query: str = "") -> str:
    return client.get(PAGE + query).content.decode()


def test_without_a_plan_it_says_what_to_press(client):
    page = text(client)
    assert "No plan is published yet" in page
    assert "<b>Plan again</b>" in page


def test_every_bar_lies_where_the_plan_has_it(client, planned):
    page = text(client, "?weeks=1")
    rows, zone = rows_of_plan(published().pk), ZoneInfo(settings.TIME_ZONE)
    places = {
        int(task): x
        for task, x in re.findall(r'<a href="/bench/tasks?/(\d+)/".*?<svg class="work" x="([\d.]+)%"', page)
    }
    monday = timezone.localdate() - timedelta(days=timezone.localdate().weekday())
    assert places
    for task, begin in zip(rows.task.tolist(), rows.begins.tolist(), strict=True):
        if task in places:
            local = datetime.fromtimestamp(60 * begin, UTC).astimezone(zone)
            hours = min(12.0, max(0.0, local.hour + local.minute / 60 - 7))
            assert float(places[task]) == pytest.approx(100 * ((local.date() - monday).days + hours / 12) / 7, abs=0.3)


def test_late_and_kept_are_said_in_words_with_the_mark_of_the_promise(client, planned):
    chart = client.get(PAGE).context["chart"]
    assert {row.name: row.grade for row in chart.rows} == {"C26-0001": "go", "C26-0002": "stop"}
    late = next(row for row in chart.rows if row.grade == "stop")
    assert re.fullmatch(r"\d+ days late", late.said)
    assert "promised for" in text(client, f"?from={(timezone.localdate() - timedelta(days=1)).isoformat()}")
    assert [row.name for row in client.get(PAGE + "?only=late").context["chart"].rows] == ["C26-0002"]


def test_by_station_each_place_is_taken_by_one_at_a_time(client, planned):
    chart = client.get(PAGE + "?by=stations&weeks=13").context["chart"]
    assert [row.name for row in chart.rows] == [station.name for station in chart.stations]
    alone = client.get(PAGE + "?by=stations&weeks=13&only=fret-bench").context["chart"]
    assert [row.name for row in alone.rows] == ["Fret bench"]
    assert ", Fret bench, " in alone.rows[0].picture


def test_the_table_has_every_task_that_takes_time(client, planned):
    chart = client.get(PAGE + "?weeks=13&as=table").context["chart"]
    operations = set(Task.objects.values_list("operation", flat=True))
    assert {line.name for line in chart.lines} == {"C26-0001", "C26-0002"}
    assert {line.operation for line in chart.lines} <= operations
    assert all(line.person == str(planned) for line in chart.lines if line.operation == "Fretting")


def test_links_move_and_zoom_and_end_where_there_is_no_more(client, planned):
    links = client.get(PAGE + "?weeks=4&from=2026-04-15").context["chart"].links
    assert links["earlier"] == "?by=builds&weeks=4&from=2026-03-16"
    assert links["later"] == "?by=builds&weeks=4&from=2026-05-11"
    assert (links["closer"], links["wider"]) == (
        "?by=builds&weeks=1&from=2026-04-13",
        "?by=builds&weeks=13&from=2026-04-13",
    )
    assert client.get(PAGE + "?weeks=13").context["chart"].links["wider"] == ""


@pytest.mark.parametrize(
    "query", ["?weeks=7&by=x&from=never&page=-1&only=attic", "?page=999&from=9999-12-31", "?from="]
)
def test_an_address_nobody_gave_shows_the_ordinary(client, planned, query):
    assert client.get(PAGE + query).status_code == 200


@pytest.mark.parametrize("query", ["", "?by=stations&weeks=13", "?as=table"])
def test_more_instruments_ask_no_more(client, planned, query):
    def queries() -> int:
        client.get(PAGE + query)
        with CaptureQueriesContext(connection) as caught:
            client.get(PAGE + query)
        return len(caught)

    before = queries()
    for number in range(3, 8):
        build(planned, f"C26-{number:04d}")
    run()
    assert queries() == before
