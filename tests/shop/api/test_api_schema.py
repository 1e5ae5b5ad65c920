"""The API's description: valid OpenAPI, without a warning, complete, and true of what is answered."""

from __future__ import annotations

from io import StringIO

import jsonschema
import pytest
from django.core.management import call_command
from drf_spectacular.validation import validate_schema

from shop.people.access import TABLE
from specs.schema import json_schema
from specs.starters import starter
from tests.shop.api.orders_made import order, path_of

UNDESCRIBED = {"api:schema", "api:unknown"}
PROBLEMS = {"$ref": "#/components/schemas/Problems"}
TASK_PROBLEMS = {"$ref": "#/components/schemas/TaskProblems"}
PROMISE_REFUSAL = {"$ref": "#/components/schemas/PromiseRefusal"}
WITH_MORE = (TASK_PROBLEMS, PROMISE_REFUSAL)


@pytest.fixture
def described(api_of, bench):
    response = api_of(bench).get("/api/schema/")
    assert response["Content-Type"] == "application/json"
    return response.json()


def _operations(described):
    return [one for methods in described["paths"].values() for one in methods.values()]


def _body(response):
    return response["content"]["application/json"]["schema"]


def test_it_is_openapi(described):
    """Against the OpenAPI Initiative's own JSON Schema of OpenAPI 3.1."""
    assert described["openapi"].startswith("3.1")
    validate_schema(described)


def test_it_is_made_without_a_warning(db):
    call_command("spectacular", "--validate", "--fail-on-warn", stdout=StringIO(), stderr=StringIO())


def test_every_address_of_the_table_is_described(described):
    asked = {name for name in TABLE if name.startswith("api:")} - UNDESCRIBED
    assert len(_operations(described)) == len(asked)


def test_every_operation_says_what_it_does_takes_and_refuses(described):
    for one in _operations(described):
        assert one["summary"]
        assert _body(one["responses"]["200"])
        refused = {status: _body(response) for status, response in one["responses"].items() if status != "200"}
        assert refused
        assert all(body == PROBLEMS or (status == "409" and body in WITH_MORE) for status, body in refused.items())


@pytest.mark.parametrize("act", ["start", "pause", "done", "hold", "lift", "reopen", "undo"])
def test_an_act_says_its_press(act, described):
    asked = described["paths"][f"/api/tasks/{{task_id}}/{act}/"]["post"]["parameters"]
    press = next(one for one in asked if one["name"] == "Press-Token")
    assert (press["in"], press["required"], press["schema"]["format"]) == ("header", True, "uuid")


def test_the_spec_document_is_described_whole(described, api_of, bench):
    body = described["paths"]["/api/derive/"]["post"]["requestBody"]["content"]["application/json"]["schema"]
    served = api_of(bench).get("/api/spec-schema/").json()
    assert served == json_schema()
    assert set(body["properties"]) == set(served["properties"])
    jsonschema.validate(starter(5), body, jsonschema.Draft202012Validator)


def _strict(schema):
    """The schema with every object closed, so that a key answered but not described is found."""
    if isinstance(schema, dict):
        closed = {"additionalProperties": False} if schema.get("type") == "object" and "properties" in schema else {}
        return {key: _strict(value) for key, value in schema.items()} | closed
    return [_strict(item) for item in schema] if isinstance(schema, list) else schema


def _hold_true(described, path, method, status, body):
    schema = _body(described["paths"][path][method]["responses"][str(status)])
    whole = schema | {"components": _strict(described["components"])}
    jsonschema.validate(body, whole, jsonschema.Draft202012Validator)


@pytest.mark.parametrize(("path", "address"), [
    ("/api/orders/", "/api/orders/"), ("/api/orders/{number}/", "/api/orders/Q26-0001/"),
    ("/api/orders/{number}/numbers/", "/api/orders/Q26-0001/numbers/"),
    ("/api/builds/", "/api/builds/"), ("/api/builds/{serial}/", "/api/builds/C26-0001/"),
    ("/api/tasks/", "/api/tasks/"), ("/api/stations/", "/api/stations/"),
    ("/api/stations/{slug}/", "/api/stations/fret-bench/"),
])  # fmt: skip
def test_what_is_shown_is_what_is_described(path, address, described, api_of, manager):
    order(manager)
    _hold_true(described, path, "get", 200, api_of(manager).get(address).json())


def test_what_an_act_answers_is_what_is_described(described, api_of, manager):
    made, client = order(manager).build, api_of(manager)
    path = "/api/tasks/{task_id}/hold/"
    for status in (200, 409):
        response = client.press(path_of(made, 0, "hold"), {"reason": "wire missing"})
        assert response.status_code == status
        _hold_true(described, path, "post", status, response.json())
    _hold_true(described, "/api/tasks/{task_id}/", "get", 200, client.get(path_of(made, 0)).json())


def test_a_derived_instrument_is_what_is_described(described, api_of, bench):
    odd = starter(5)
    odd["fingerboard"] |= {"overhang": "0 mm", "edge_margin_nut": "0 mm"}
    answered = api_of(bench).post("/api/derive/", odd, format="json").json()
    assert answered["findings"]
    _hold_true(described, "/api/derive/", "post", 200, answered)


def test_refusals_are_what_is_described(described, api_of, bench):
    client = api_of(bench)
    _hold_true(described, "/api/derive/", "post", 400, client.post("/api/derive/", {}, format="json").json())
    _hold_true(described, "/api/orders/", "get", 401, api_of().get("/api/orders/").json())
