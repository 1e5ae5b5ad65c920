"""An order's numbers through the API: the page's own groups, unrounded, and why there are none."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from specs.derive import derive
from specs.numbers import numbers
from specs.parsing import parse
from specs.starters import starter
from specs.tables import load_tables
from tests.shop.api.orders_made import order

PATH = "/api/orders/Q26-0001/numbers/"


@pytest.fixture
def client(api_of, bench):
    return api_of(bench)


def test_the_groups_are_those_computed(client, sales):
    order(sales)
    groups = client.get(PATH).json()["groups"]
    computed = numbers(derive(parse(starter(5)), load_tables())).groups
    assert [group["key"] for group in groups] == [group.key for group in computed]
    for written, group in zip(groups, computed, strict=True):
        assert [row["value"] for row in written["figures"]] == [figure.value for figure in group.figures]
        assert [row["kept"] for row in written["figures"]] == [figure.kept for figure in group.figures]
        assert [table["rows"] for table in written["tables"]] == [
            [list(row) for row in table.rows] for table in group.tables
        ]


def test_a_place_and_a_limit(client, sales):
    order(sales)
    neck = client.get(PATH).json()["groups"][0]
    wood = next(row for row in neck["figures"] if row["key"] == "wood_after_mm")
    assert (wood["place"], wood["limit"]) == ({"kind": "fret", "number": 24}, {"word": "at least", "value": 2.5})


def test_one_look_at_the_order_is_enough(client, sales):
    order(sales)
    with CaptureQueriesContext(connection) as caught:
        assert client.get(PATH).status_code == 200
    assert sum("orders" in query["sql"] or "order" in query["sql"].split("FROM")[-1] for query in caught) <= 1
    assert len(caught) <= 3


def test_an_order_that_is_no_instrument_is_told_at_its_fields(client, sales, problems_of):
    made = order(sales)
    made.spec.entered["scale"]["bass"] = "36"
    made.spec.save()
    assert problems_of(client.get(PATH), 409) == [("scale.bass", "no-unit")]


def test_no_such_order(client, problems_of):
    assert problems_of(client.get("/api/orders/Q26-9999/numbers/"), 404) == [("request", "not-found")]
