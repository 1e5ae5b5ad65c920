"""Who reaches which address of the API, and that every refusal has the one shape."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from shop.people.access import STAFF, TABLE
from shop.people.models import Role
from tests.shop.api.orders_made import order
from tests.shop.batches.made import ordered, series_pattern

ROLES = sorted(STAFF)
KWARGS = {
    "api:order": {"number": "Q26-0001"},
    "api:order-numbers": {"number": "Q26-0001"},
    "api:build": {"serial": "C26-0001"},
    "api:station": {"slug": "fret-bench"},
}
READS = sorted(name for name, row in TABLE.items() if name.startswith("api:") and "GET" in row)
WRITES = sorted(name for name, row in TABLE.items() if name.startswith("api:task-"))


@pytest.fixture
def address(manager):
    made = order(manager)

    def of(name: str) -> str:
        if name == "api:unknown":
            return "/api/nowhere"
        if name == "api:batch":
            return reverse(name, kwargs={"number": ordered(series_pattern(), manager).number})
        one_task = {"task_id": made.build.tasks.get(position=0).pk}
        return reverse(
            name, kwargs=KWARGS.get(name, one_task if name.startswith("api:task") and name != "api:tasks" else {})
        )

    return of


@pytest.mark.parametrize("name", READS)
@pytest.mark.parametrize("role", ROLES)
def test_the_staff_reads(name, role, address, api_of, request):
    response = api_of(request.getfixturevalue(role)).get(address(name))
    assert response.status_code == (404 if name == "api:unknown" else 200)
    assert "json" in response["Content-Type"]


@pytest.mark.parametrize("name", [*READS, *WRITES, "api:derive"])
def test_a_stranger_is_asked_to_sign_in(name, address, api_of, problems_of):
    ask = api_of().get if name in READS else api_of().press
    response = ask(address(name))
    assert problems_of(response, 401) == [("request", "not-authenticated")]
    assert response["WWW-Authenticate"] == "Token"


@pytest.mark.parametrize("name", WRITES)
@pytest.mark.parametrize("role", ROLES)
def test_the_staff_presses_and_the_work_decides(name, role, address, api_of, request):
    body = {"reason": "crack found"} if name in ("api:task-hold", "api:task-reopen") else {}
    status = api_of(request.getfixturevalue(role)).press(address(name), body).status_code
    starts = {"api:task-hold": 200, "api:task-start": 200 if role == Role.MANAGER else 403}
    assert status == starts.get(name, 409)


@pytest.mark.parametrize("name", [*READS, *WRITES, "api:derive", "api:token"])
def test_a_method_not_in_the_table_does_not_exist(name, address, api_of, manager, problems_of):
    method = "options" if name == "api:unknown" else "delete"
    assert problems_of(getattr(api_of(manager), method)(address(name)), 405) == [("request", "method-not-allowed")]


@pytest.mark.parametrize("path", ["", "nowhere/", "orders", "tasks/abc/", "a%0Ab", "v1/orders/"])
def test_an_unknown_address_is_told_in_json(path, api_of, bench, problems_of):
    assert problems_of(api_of(bench).get(f"/api/{path}"), 404) == [("request", "not-found")]
    assert problems_of(api_of().get(f"/api/{path}"), 401) == [("request", "not-authenticated")]


@pytest.mark.parametrize(
    "path", ["orders/Q26-9999/", "builds/C26-9999/", "tasks/9999/", f"tasks/{10**30}/", "stations/nowhere/"]
)
def test_a_thing_that_is_not_there(path, api_of, bench, problems_of):
    assert problems_of(api_of(bench).get(f"/api/{path}"), 404) == [("request", "not-found")]


def test_a_browser_is_answered_in_json_too(api_of, bench, problems_of):
    response = api_of(bench).get("/api/orders/", headers={"Accept": "text/html"})
    assert problems_of(response, 406) == [("request", "not-acceptable")]


def test_a_wrong_token_is_refused(db, client_of, problems_of):
    response = client_of().get("/api/orders/", headers={"Authorization": "Token 123"})
    assert problems_of(response, 401) == [("request", "authentication-failed")]


def test_a_session_reads_and_writes_only_with_its_form_token(bench, problems_of):
    client = Client(enforce_csrf_checks=True, SERVER_NAME="localhost")
    client.force_login(bench)
    assert client.get("/api/orders/").status_code == 200
    assert problems_of(client.post("/api/derive/", {}, "application/json"), 403) == [("request", "permission-denied")]


def test_a_person_who_left_is_refused(api_of, bench, problems_of):
    client = api_of(bench)
    bench.is_active = False
    bench.save()
    assert problems_of(client.get("/api/orders/"), 401) == [("request", "authentication-failed")]
