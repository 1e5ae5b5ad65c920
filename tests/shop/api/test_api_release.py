"""Finishing the release task through the API releases the order, once, or says everything that stands against it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest

from routing.models import Job, TaskState
from routing.services import done_task, start_task
from shop.orders.models import Customer, Order
from shop.orders.services import clear_deposit, place_order, start_order
from shop.papers.models import Sheet
from shop.papers.services import release_task
from specs.models import Pattern
from specs.starters import starter

DEPOSIT = datetime(2025, 3, 4, 9, 0, tzinfo=UTC)


@pytest.fixture
def order(manager) -> Order:
    """An order whose deposit cleared long ago."""
    pattern = Pattern.objects.create(name="Turnstone", strings=5, line="custom", document=starter(5))
    taken = start_order(pattern=pattern, person=manager, now=DEPOSIT)
    taken.customer = Customer.objects.create(name="Ebb & Flood Trio", country="PT")
    taken.save()
    return clear_deposit(order=place_order(order=taken, person=manager, now=DEPOSIT), person=manager, now=DEPOSIT)


def _do_what_comes_before(build, person):
    last, now = release_task(build), DEPOSIT
    for task in build.tasks.filter(position__lt=last.position).exclude(state=TaskState.DONE):
        now += timedelta(days=5)
        start_task(task_id=task.pk, person=person, now=now)
        done_task(task_id=task.pk, person=person, now=now + timedelta(hours=1))
    return f"/api/tasks/{last.pk}/done/"


def test_the_release_is_one_press(order, api_of, manager, django_capture_on_commit_callbacks):
    path, token, client = _do_what_comes_before(order.build, manager), uuid4(), api_of(manager)
    with django_capture_on_commit_callbacks() as asked:
        first = client.press(path, token=token)
    assert (first.status_code, first.json()["state"], len(asked)) == (200, "done", 2)
    assert client.press(path, token=token).json() == first.json()
    assert Sheet.objects.count() == 1
    assert list(Job.objects.values_list("kind", flat=True)) == ["traveller"], "the plan is asked for once committed"
    spec = client.get(f"/api/builds/{order.build.serial}/").json()["spec"]
    assert (len(spec["digest"]), len(spec["answer"]["frets"])) == (64, spec["document"]["fingerboard"]["frets"] + 1)
    assert client.press(path).status_code == 409


def test_what_stands_against_a_release_is_told(order, api_of, manager, problems_of):
    path = _do_what_comes_before(order.build, manager)
    Order.objects.filter(pk=order.pk).update(customer=None)
    problems = problems_of(api_of(manager).press(path), 400)
    assert "customer" in [field for field, _code in problems]
    assert not Sheet.objects.exists()
    order.build.refresh_from_db()
    assert (order.build.released_at, release_task(order.build).state) == (None, TaskState.READY)
