"""The page of lead times: what left, whether the figures agree, and a fixed number of queries."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from routing.ahead import DESPATCH
from routing.lived import passages
from routing.models import Kind, TaskState
from shop.backlog.flow import Flow
from tests.routing.made import build
from tests.shop.batches.made import ordered, series_pattern

pytestmark = pytest.mark.django_db
PAGE = "/backlog/lead-times/"


def left(owner, serial: str, *, released_ago: int, took: int | None, line: str = "custom", last: str = DESPATCH):
    """A build released so many days ago that left after ``took`` days, its deposit thirty days before release."""
    released = timezone.now() - timedelta(days=released_ago)
    made = build(owner, (last, "despatch", (), 0), serial=serial, released_at=released)
    type(made).objects.filter(pk=made.pk).update(made_at=released - timedelta(days=30), line=line)
    if took is not None:
        made.tasks.update(state=TaskState.DONE, done_at=released + timedelta(days=took))
    return made


def steady(owner, count: int) -> None:
    for at in range(count):
        left(owner, f"C26-{at:04d}", released_ago=3 + 7 * at, took=70 if at >= 10 else None)


def test_an_empty_shop_says_what_begins_the_page(client_of, manager):
    page = client_of(manager).get(PAGE).content.decode()
    assert "Nothing has left yet" in page
    assert "their times say nothing yet" in page


def test_a_steady_shop_agrees_with_itself(client_of, manager):
    steady(manager, 50)
    flow = Flow(timezone.now())
    assert (flow.flow.half, flow.lead.half, flow.little.agree) == (70, 100, True)
    assert (round(flow.little.per_week, 1), round(flow.little.on_floor)) == (1.0, 10)
    page = client_of(manager).get(PAGE).content.decode()
    assert "The three figures agree." in page
    assert "Half took 100 days or less" in page


def test_what_stands_forgotten_is_named(client_of, manager):
    steady(manager, 40)
    for at in range(8):
        left(manager, f"C25-000{at}", released_ago=500 + at, took=None)
    page = client_of(manager).get(PAGE).content.decode()
    assert "despatched without its Done" in page
    assert page.index("C25-0007") < page.index("C25-0000")


def test_a_line_shows_its_own_only(client_of, manager):
    steady(manager, 20)
    left(manager, "S26-0001", released_ago=60, took=30, line="series", last="Series stock or despatch")
    assert [Flow(timezone.now(), line).count for line in ("", "custom", "series", "no such line")] == [11, 10, 1, 11]
    client = client_of(manager)
    assert "1 instrument left" in client.get(f"{PAGE}?line=series").content.decode()
    assert "10 instruments left" in client.get(PAGE).content.decode()
    assert "11 instruments left" in client.get(f"{PAGE}?line=all").content.decode()


def test_more_instruments_need_no_more_queries(client_of, manager, queries_of):
    client = client_of(manager)

    left(manager, "C26-9999", released_ago=80, took=70)
    before = queries_of(client, PAGE)
    steady(manager, 50)
    assert queries_of(client, PAGE) == before


def test_what_a_partner_builds_flows_from_the_day_it_is_counted_in(manager):
    """In transit it stands on no floor here; its flow time begins when its batch is counted in."""
    pattern = series_pattern()
    here, _coming = ordered(pattern, manager), ordered(pattern, manager)
    received = timezone.now() - timedelta(days=20)
    type(here).objects.filter(pk=here.pk).update(received=here.pieces, received_at=received)
    gone, *stay = here.builds.filter(kind=Kind.INSTRUMENT)
    gone.tasks.update(state=TaskState.DONE, done_at=received + timedelta(days=12))
    passed = passages(timezone.now() - timedelta(days=365), "series")
    assert [round(one.flow_days) for one in passed if one.despatched] == [12]
    assert {one.serial for one in passed if not one.despatched} == {one.serial for one in stay}
