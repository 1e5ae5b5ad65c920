"""Lists and details of the API: what they hold, how they are narrowed and paged, and what they cost."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from routing.models import Build, Station, Task, TaskState
from routing.prototypes import make_prototype
from shop.orders.models import Order, OrderState
from specs.designs import add_idea
from specs.starters import starter
from tests.routing.made import station
from tests.shop.api.orders_made import order

LISTS = ("orders", "builds", "tasks", "stations")


@pytest.fixture
def client(api_of, bench):
    return api_of(bench)


def _numbers(response, key):
    assert response.status_code == 200
    return [row[key] for row in response.json()["results"]]


def _queries(client, path):
    with CaptureQueriesContext(connection) as caught:
        assert client.get(path).status_code == 200
    return len(caught)


@pytest.mark.parametrize("name", LISTS)
def test_one_row_and_fifty_cost_the_same(name, client, sales):
    order(sales, 1)
    one = _queries(client, f"/api/{name}/?page_size=200")
    for number in range(2, 51):
        order(sales, number)
        station(f"bench-{number}")
    assert _queries(client, f"/api/{name}/?page_size=200") == one


def test_designs_stand_there_with_their_stage_and_prototypes(client, manager):
    now = timezone.now()
    idea = add_idea(name="Whimbrel", about="long", document=starter(5), line="custom", person=manager, now=now)
    made = make_prototype(pattern=idea, person=manager, now=now)
    row = {"name": "Whimbrel", "stage": "idea", "line": "custom", "strings": 5, "about": "long",
           "prototypes": [made.serial]}  # fmt: skip
    assert client.get("/api/designs/?stage=idea").json()["results"] == [row]
    assert client.get("/api/designs/?stage=trial").json()["results"] == []
    assert client.get("/api/designs/?stage=moon").status_code == 400
    few = _queries(client, "/api/designs/")
    for number in range(30):
        add_idea(name=f"Knot {number}", about="", document=starter(4), line="custom", person=manager, now=now)
    assert _queries(client, "/api/designs/") == few


@pytest.mark.parametrize("path", ["orders/Q26-0001/", "builds/C26-0001/"])
def test_a_detail_costs_the_same_however_long(path, client, sales):
    made = order(sales, 1)
    few = _queries(client, f"/api/{path}")
    for position in range(3, 50):
        Task.objects.create(build=made.build, position=position, operation="Fretting", station=station(), after=[0],
                            low_h=1, usual_h=1, high_h=1)  # fmt: skip
        made.events.create(what="seen", person=sales, at=made.taken_at)
    assert _queries(client, f"/api/{path}") == few


@pytest.mark.parametrize(("name", "key", "in_order"), [
    ("orders", "number", ["Q26-0005", "Q26-0004", "Q26-0003", "Q26-0002", "Q26-0001"]),
    ("builds", "serial", ["C26-0005", "C26-0004", "C26-0003", "C26-0002", "C26-0001"]),
])  # fmt: skip
def test_pages_follow_one_order(name, key, in_order, client, sales):
    for number in range(1, 6):
        order(sales, number)
    pages = [client.get(f"/api/{name}/?page_size=2&page={page}") for page in (1, 2, 3)]
    assert [number for page in pages for number in _numbers(page, key)] == in_order
    assert (pages[0].json()["count"], pages[0].json()["previous"], pages[2].json()["next"]) == (5, None, None)
    assert pages[0].json()["next"].endswith(f"/api/{name}/?page=2&page_size=2")


def test_an_order_in_a_list(client, sales):
    made = order(sales)
    row = client.get("/api/orders/").json()["results"][0]
    expected = {
        "number": "Q26-0001", "state": "building", "line": "custom", "build": "C26-0001", "tasks": 3, "tasks_done": 0,
        "customer": {"name": "Redshank 1", "is_dealer": False, "country": "PT"},
        "spec": {"revision": "A", "released_at": None, "digest": ""},
    }  # fmt: skip
    assert {key: row[key] for key in expected} == expected
    whole = client.get("/api/orders/Q26-0001/").json()
    assert (whole["spec"]["entered"], whole["taken_by"]) == (made.spec.entered, "sanderling")
    assert [(event["what"], event["person"]) for event in whole["events"]] == [("deposit cleared", "sanderling")]


def test_a_draft_without_customer_or_build(client, sales):
    made = order(sales)
    Order.objects.filter(pk=made.pk).update(customer=None, build=None, state=OrderState.DRAFT)
    row = client.get("/api/orders/").json()["results"][0]
    assert (row["customer"], row["build"], row["tasks"]) == (None, None, 0)
    assert client.get("/api/builds/").json()["results"][0]["order"] is None


@pytest.mark.parametrize(("query", "expected"), [
    ("state=draft", ["Q26-0002"]), ("line=series", ["Q26-0003"]), ("q=redshank 1", ["Q26-0001"]),
    ("q=0003", ["Q26-0003"]), ("state=draft&line=series", []), ("q=%25", []),
])  # fmt: skip
def test_orders_narrowed(query, expected, client, sales):
    order(sales, 1)
    order(sales, 2, state=OrderState.DRAFT)
    order(sales, 3, line="series")
    assert _numbers(client.get(f"/api/orders/?{query}"), "number") == expected


def test_a_build_with_its_network(client, sales):
    made = order(sales)
    Task.objects.filter(build=made.build, position=0).update(state=TaskState.DONE, done_at=timezone.now())
    whole = client.get("/api/builds/C26-0001/").json()
    assert (whole["order"], whole["task_count"], whole["tasks_done"]) == ("Q26-0001", 3, 1)
    network = [(task["position"], task["after"], task["state"], task["station"]) for task in whole["tasks"]]
    assert network == [
        (0, [], "done", "fret-bench"), (1, [], "ready", "body-bench"), (2, [0, 1], "not ready", "assembly-bench"),
    ]  # fmt: skip
    assert (whole["spec"]["revision"], whole["spec"]["digest"]) == ("A", "")


@pytest.mark.parametrize(("query", "expected"), [
    ("open=1", ["C26-0001"]), ("q=0002", ["C26-0002"]), ("line=series", ["C26-0003"]),
])  # fmt: skip
def test_builds_narrowed(query, expected, client, sales):
    for number in (1, 2, 3):
        order(sales, number)
    Build.objects.filter(serial="C26-0002").update(cancelled_at=timezone.now())
    Build.objects.filter(serial="C26-0003").update(finished_at=timezone.now(), line="series")
    assert _numbers(client.get(f"/api/builds/?{query}"), "serial") == expected


@pytest.mark.parametrize(("query", "expected"), [
    ("station=fret-bench", [("C26-0001", 0), ("C26-0002", 0)]),
    ("build=C26-0002", [("C26-0002", 0), ("C26-0002", 1), ("C26-0002", 2)]),
    ("state=not ready&build=C26-0001", [("C26-0001", 2)]),
    ("state=ready", [("C26-0001", 0), ("C26-0001", 1), ("C26-0002", 0), ("C26-0002", 1)]),
    ("ready=1", [("C26-0001", 0)]),
    ("ready=1&station=body-bench", []),
    ("station=nowhere", []),
])  # fmt: skip
def test_tasks_narrowed(query, expected, client, sales):
    waiting, cancelled = order(sales, 1).build, order(sales, 2).build
    waiting.tasks.filter(position=1).update(ready_at=timezone.now() + timedelta(hours=24))
    Build.objects.filter(pk=cancelled.pk).update(cancelled_at=timezone.now())
    rows = client.get(f"/api/tasks/?{query}").json()["results"]
    assert [(row["build"], row["position"]) for row in rows] == expected


@pytest.mark.parametrize(("path", "expected"), [
    ("orders/?state=lost", ("state", "invalid-choice")), ("orders/?sate=draft", ("sate", "unknown-key")),
    ("orders/?page_size=201", ("page_size", "max-value")), ("tasks/?page_size=0", ("page_size", "min-value")),
    ("tasks/?ready=maybe", ("ready", "invalid-choice")), ("tasks/?build=%00", ("build", "null-characters-not-allowed")),
    ("stations/?page=x", ("page", "invalid")), ("builds/?q=" + "x" * 81, ("q", "max-length")),
])  # fmt: skip
def test_what_a_list_cannot_be_asked(path, expected, client, problems_of):
    assert problems_of(client.get(f"/api/{path}"), 400) == [expected]


def test_a_page_past_the_end(client, problems_of):
    assert problems_of(client.get("/api/tasks/?page=9"), 404) == [("request", "not-found")]


def test_stations_count_what_stands_there(client, sales):
    made = order(sales).build
    made.tasks.filter(position=0).update(state=TaskState.HELD)
    made.tasks.filter(position=1).update(ready_at=timezone.now() + timedelta(hours=1))
    rows = {row["slug"]: row for row in client.get("/api/stations/").json()["results"]}
    assert set(rows) == set(Station.objects.values_list("slug", flat=True))
    counts = {slug: tuple(rows[slug][key] for key in ("ready", "on_bench", "waiting", "held")) for slug in rows}
    assert counts == {"fret-bench": (0, 0, 0, 1), "body-bench": (0, 0, 1, 0), "assembly-bench": (0, 0, 0, 0)}
    assert client.get("/api/stations/fret-bench/").json() == rows["fret-bench"]


def test_a_head_is_answered_like_its_get(client):
    response = client.head("/api/orders/")
    assert (response.status_code, response.content) == (200, b"")
