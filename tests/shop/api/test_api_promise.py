"""A spec posted gets its date; a placed order is given the one it was shown, once, or told the one that is left."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from routing.models import Booking
from shop.orders.models import Customer
from shop.orders.services import place_order, start_order
from specs.models import Pattern
from specs.starters import starter
from tests.routing.planning.planned_shop import build, crew, run

PROMISE = "/api/promise/"


@pytest.fixture
def shop(db):
    owner = crew()[0]
    build(owner, "C26-9000", promise=timezone.localdate() + timedelta(days=300))
    run()
    return owner


@pytest.fixture
def order(shop, sales):
    pattern = Pattern.objects.create(name="Turnstone", strings=5, line="custom", document=starter(5))
    made = start_order(pattern=pattern, person=sales, now=timezone.now())
    made.customer = Customer.objects.create(name="Corin Saltby", country="PT")
    made.save(update_fields=["customer"])
    return place_order(order=made, person=sales, now=timezone.now())


def test_a_spec_gets_its_date_and_why(api_of, bench, shop):
    quoted = api_of(bench).post(PROMISE, starter(5), format="json")
    assert quoted.status_code == 200
    row = quoted.json()
    days = [date.fromisoformat(row[name]) for name in ("begins_on", "bare_on", "promised_on")]
    assert days == sorted(days)
    assert row["steps"][-1]["ends_on"] == row["bare_on"]
    assert "working days of work" in row["why"]
    assert not Booking.objects.exists()


def test_before_the_first_plan_and_for_the_series_there_is_none(api_of, bench, problems_of):
    client = api_of(bench)
    assert problems_of(client.post(PROMISE, starter(5), format="json"), 409) == [("request", "wrong-state")]
    series = client.post(f"{PROMISE}?line=series", starter(5), format="json")
    assert problems_of(series, 400) == [("line", "not-promised")]


def test_a_bad_spec_is_told_what_is_wrong(api_of, bench, shop, problems_of):
    found = problems_of(api_of(bench).post(PROMISE, {"hand": "third"}, format="json"), 400)
    assert ("hand", "choice") in found or "hand" in {field for field, _code in found}


def test_an_order_is_given_its_date_once(api_of, sales, order, problems_of):
    client, path = api_of(sales), f"/api/orders/{order.number}/promise/"
    day = client.post(PROMISE, starter(5), format="json").json()["promised_on"]
    token = uuid4()
    given = client.press(path, {"shown": day}, token=token)
    assert (given.status_code, given.json()["promise"]) == (200, day)
    assert client.press(path, {"shown": day}, token=token).json() == given.json()
    assert problems_of(client.press(path, {"shown": day}), 409) == [("request", "wrong-state")]
    assert Booking.objects.count() == 1


def test_a_place_gone_comes_with_the_day_that_is_left(api_of, sales, order, problems_of):
    client, path = api_of(sales), f"/api/orders/{order.number}/promise/"
    day = date.fromisoformat(client.post(PROMISE, starter(5), format="json").json()["promised_on"])
    early = (day - timedelta(days=9)).isoformat()
    gone = client.press(path, {"shown": early})
    assert problems_of(gone, 409) == [("request", "place-gone")]
    assert gone.json()["promise"]["promised_on"] == day.isoformat()
    assert not Booking.objects.exists()
    later = client.press(path, {"shown": early, "also_later": True})
    assert later.json()["promise"] == day.isoformat()


def test_the_bench_gives_no_dates(api_of, bench, order, problems_of):
    refused = api_of(bench).press(f"/api/orders/{order.number}/promise/", {"shown": "2027-01-04"})
    assert problems_of(refused, 403)
