"""Orders on their way to release, made through the services a workshop uses."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from routing import jobs
from routing.models import TaskState
from routing.services import done_task, start_task
from shop.orders.models import Customer
from shop.orders.services import clear_deposit, place_order, start_order
from shop.papers.services import release_task
from specs.models import Pattern
from specs.starters import starter

START = timezone.now().replace(hour=9, minute=0, second=0, microsecond=0) - timedelta(days=60)
RELEASE = START + timedelta(days=50)


@pytest.fixture
def placed(manager):
    """Make an order placed by a manager from a starter's document."""

    def make(strings=5, construction="bolt-on", hand="right", change=None):
        document = starter(strings, construction, hand)
        if change:
            change(document)
        pattern = Pattern.objects.create(
            name=f"Turnstone {strings} {construction} {hand}", strings=strings, line="custom", document=document
        )
        order = start_order(pattern=pattern, person=manager, now=START)
        order.customer = Customer.objects.create(name="Ebb & Flood Trio", country="PT")
        order.save()
        return place_order(order=order, person=manager, now=START)

    return make


@pytest.fixture
def ready(placed, manager):
    """Make an order whose release is the next thing to do."""

    def make(*args, **kwargs):
        order = clear_deposit(order=placed(*args, **kwargs), person=manager, now=START)
        before_release(order.build, manager)
        return order

    return make


def before_release(build, person):
    """Do everything the release waits for."""
    last = release_task(build).position
    now = START + timedelta(days=5)
    for task in build.tasks.filter(position__lt=last).exclude(state=TaskState.DONE).order_by("position"):
        now += timedelta(days=5)
        start_task(task_id=task.pk, person=person, now=now)
        done_task(task_id=task.pk, person=person, now=now + timedelta(hours=1))


@pytest.fixture
def made():
    """Have a sheet's job done, as a worker would; the sheet afterwards."""

    def make(sheet):
        jobs.run(sheet.job_id)
        sheet.job.refresh_from_db()
        assert (sheet.job.state, sheet.job.message) == (jobs.JobState.DONE, "")
        sheet.refresh_from_db()
        return sheet

    return make
