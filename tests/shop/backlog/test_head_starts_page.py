"""The page of head starts: stock by length, how many to keep against SciPy, who could take one, and presses."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from scipy import stats

from routing.head_starts import make_head_starts
from routing.models import Build, TaskState
from routing.parts import HeadStart, rest_of
from routing.services import make_build
from shop.backlog.stock import WEEKS, Stock
from specs.facts import OrderFacts
from specs.models import Pattern, Spec
from specs.starters import starter

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(client_of, manager):
    return client_of(manager)


@pytest.fixture
def pattern(db) -> Pattern:
    return Pattern.objects.create(name="Turnstone", strings=5, line="custom", document=starter(5))


def ordered(manager, serial: str, strings: int = 5) -> Build:
    now = timezone.now()
    spec = Spec.objects.create(entered=starter(strings), made_by=manager)
    made = make_build(
        serial=serial, spec=spec, facts=OrderFacts(), lived={}, promise=None, person=manager, now=now
    )  # fmt: skip
    Build.objects.filter(pk=made.pk).update(released_at=now)
    return made


def finished(pattern, manager, ago: timedelta, pieces: int = 2) -> Build:
    at = timezone.now() - ago
    work = make_head_starts(pattern=pattern, pieces=pieces, person=manager, now=at)
    work.tasks.update(state=TaskState.DONE, started_at=at, done_at=at, person=manager)
    Build.objects.filter(pk=work.pk).update(finished_at=at)
    return work


def press(client, address: str, **sent):
    return client.post(f"/backlog/head-starts/{address}/", {"press": str(uuid4())} | sent)


def test_an_empty_page_says_what_comes(client):
    assert "which blanks are worth keeping" in client.get("/backlog/head-starts/").content.decode()


def test_stock_stands_by_state_and_length(client, pattern, manager):
    finished(pattern, manager, timedelta(days=30))
    finished(pattern, manager, timedelta(hours=1))
    make_head_starts(pattern=pattern, pieces=3, person=manager, now=timezone.now())
    (shelf,) = Stock(timezone.now()).shelves
    assert [len(parts) for parts in (shelf.rested, shelf.resting, shelf.making)] == [2, 2, 3]
    assert shelf.next_rested - rest_of("neck blank") < timezone.now()
    assert "next " in client.get("/backlog/head-starts/").content.decode()


def test_how_many_to_keep_follows_what_is_asked_for(manager):
    for place in range(8):
        ordered(manager, f"C26-{place:04d}")
    for service in (80, 95):
        (shelf,) = Stock(timezone.now(), service).shelves
        assert shelf.a_week == pytest.approx(8 / WEEKS)
        assert shelf.keep == shelf.short == stats.poisson.ppf(service / 100, 8 / WEEKS * shelf.lead_days / 7)
    assert shelf.lead_days > 13  # 7 + 3 + 3 days of rest and their hours
    assert shelf.saved_weeks >= 0


def test_it_is_taken_from_the_page_once(client, pattern, manager):
    finished(pattern, manager, timedelta(days=30), pieces=1)
    build, other = ordered(manager, "C26-0001"), ordered(manager, "C26-0002")
    ordered(manager, "C26-0003", strings=4)
    (taker,) = Stock(timezone.now()).takers
    assert (taker.build, taker.part.number) == (build, HeadStart.objects.get().number)
    assert press(client, f"{taker.part.number}/take", build=build.serial).status_code == 302
    late = press(client, f"{taker.part.number}/take", build=other.serial)
    assert (late.status_code, "was taken by C26-0001" in late.content.decode()) == (409, True)
    assert Stock(timezone.now()).takers == []


@pytest.mark.parametrize(("pieces", "status"), [("4", 302), ("0", 409), ("", 409), ("-1", 409), ("9999", 409)])
def test_blanks_are_begun_in_reasonable_numbers(client, pattern, pieces, status):
    assert press(client, "begin", pattern=str(pattern.pk), pieces=pieces).status_code == status
    assert HeadStart.objects.count() == (4 if status == 302 else 0)


def test_an_unknown_service_is_the_usual_one(client):
    assert client.get("/backlog/head-starts/?service=7").context["stock"].service == 90
    assert client.get("/backlog/head-starts/?service=95").context["stock"].service == 95


def test_only_the_manager_opens_it(client_of, bench, sales):
    for one in (bench, sales):
        assert client_of(one).get("/backlog/head-starts/").status_code == 403


def test_one_row_asks_as_much_as_thirty(client, pattern, manager):
    def questions() -> int:
        with CaptureQueriesContext(connection) as caught:
            assert client.get("/backlog/head-starts/").status_code == 200
        return len(caught)

    finished(pattern, manager, timedelta(days=30), pieces=1)
    ordered(manager, "C26-0001")
    few = questions()
    finished(pattern, manager, timedelta(days=20), pieces=8)
    for place in range(2, 20):
        ordered(manager, f"C26-{place:04d}", strings=4 + place % 3)
    assert questions() == few
