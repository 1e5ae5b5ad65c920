"""The page of the floor: limits kept once, refusals said, a fixed number of queries."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from routing.limits import FloorLimit
from tests.routing.made import build

pytestmark = pytest.mark.django_db
PAGE, LIMIT = "/backlog/floor/", "/backlog/floor/limit/"
OFFICE = (("Scale and layout drawing", "drawing-and-cnc-programming", (), 0),)


def unpaid(owner, serial: str):
    released = timezone.now() - timedelta(days=60)
    return build(owner, ("Balance invoice and payment", "sales-desk", (), 0), serial=serial, released_at=released)


def test_an_empty_shop_has_room_and_nobody_waits(client_of, manager):
    page = client_of(manager).get(PAGE).content.decode()
    assert "Release up to 6" in page
    assert "Nobody waits" in page


def test_a_place_over_its_limit_says_so_and_stops_the_release(client_of, manager):
    for at in range(4):
        unpaid(manager, f"C26-000{at}")
    build(manager, *OFFICE, serial="C26-0009")
    page = client_of(manager).get(PAGE).content.decode()
    assert "Release none: Finished, not paid (4/3) stands over its limit" in page
    assert "the scale and layout drawing is open" in page


def test_a_limit_is_kept_once(client_of, manager):
    client, sent = client_of(manager), {"place": "unpaid", "most": "5", "press": str(uuid4())}
    assert client.post(LIMIT, sent).status_code == 302
    FloorLimit.objects.all().delete()
    assert client.post(LIMIT, sent).status_code == 302
    assert not FloorLimit.objects.exists()


@pytest.mark.parametrize(("place", "most", "said"), [("attic", "3", "no such place"), ("unpaid", "-1", "whole number")])
def test_what_cannot_be_a_limit_is_refused(client_of, manager, place, most, said):
    answer = client_of(manager).post(LIMIT, {"place": place, "most": most, "press": str(uuid4())})
    assert answer.status_code == 422
    assert said in answer.content.decode()


def test_more_instruments_need_no_more_queries(client_of, manager, queries_of):
    client = client_of(manager)

    unpaid(manager, "C26-0001")
    build(manager, *OFFICE, serial="C26-0002")
    before = queries_of(client, PAGE)
    for at in range(10):
        unpaid(manager, f"C26-01{at:02d}")
        build(manager, *OFFICE, serial=f"C26-02{at:02d}")
    assert queries_of(client, PAGE) == before
