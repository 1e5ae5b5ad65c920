"""Batches of a small pattern brought to where a test needs them, and orders that want one of their instruments."""

from __future__ import annotations

import copy
from datetime import UTC, datetime, timedelta

from django.utils import timezone

from routing.batches import acclimate_batch, instruments
from routing.models import Batch, Kind, Task
from routing.services import done_task, start_task
from shop.batches.services import Wanted, count_batch, order_batch
from shop.orders.models import Customer, Order
from shop.orders.services import About, clear_deposit, keep_draft, place_order, start_order
from specs.models import Pattern
from specs.starters import starter

NOW = datetime(2026, 4, 14, 9, 0, tzinfo=UTC)
EXPECTED = timezone.localdate(NOW + timedelta(days=120))
HERE = NOW + timedelta(days=121)
MINUTE = timedelta(minutes=1)
SAMPLING, UNBOXING = "Batch sampling inspection", "Series unboxing and first look"


def series_pattern() -> Pattern:
    document = copy.deepcopy(starter(4))
    document["finish"] = {**document.get("finish", {}), "kind": "partner polyester", "sheen": "satin",
                          "colour": "solid", "shade": "green", "pores": "closed"}  # fmt: skip
    document["neck"] = {**document.get("neck", {}), "finish": "satin"}
    return Pattern.objects.create(name="Dunlin", strings=4, line="series", document=document)


def wanted(pattern: Pattern, pieces: int = 3, left_pieces: int = 1) -> Wanted:
    return Wanted(pattern, "Farshore Works", pieces, left_pieces, EXPECTED, "as the sealed sample")


def ordered(pattern: Pattern, person, pieces: int = 3, left_pieces: int = 1, now: datetime = NOW) -> Batch:
    return order_batch(wanted=wanted(pattern, pieces, left_pieces), person=person, now=now)


def press(task: Task, person, at: datetime) -> Task:
    start_task(task_id=task.pk, person=person, now=at)
    return done_task(task_id=task.pk, person=person, now=at + MINUTE)


def work_task(batch: Batch, name: str) -> Task:
    return Task.objects.get(build__batch=batch, build__kind=Kind.BATCH, operation=name)


def shipped(batch: Batch, person) -> Batch:
    """The partner's report and the customs entry are done, each as soon as its wait is out."""
    for name in ("Partner pre-shipment report", "Transit and customs entry"):
        task = work_task(batch, name)
        press(task, person, task.ready_at)
    return batch


def counted(batch: Batch, person, sample: int = 1, arrived: list[str] | None = None) -> Batch:
    came = [build.serial for build in instruments(batch)] if arrived is None else arrived
    return count_batch(batch=shipped(batch, person), arrived=came, sample=sample, person=person, now=HERE)


def sampled(batch: Batch, person) -> datetime:
    """Counted in, rested and the sample inspected; when."""
    counted(batch, person)
    acclimate_batch(batch=batch, person=person, now=HERE)
    at = HERE + timedelta(days=8)
    for task in Task.objects.filter(build__batch=batch, operation=SAMPLING):
        press(task, person, at)
    return at + MINUTE


def wish(pattern: Pattern, person, now: datetime = NOW, **changes) -> Order:
    """A placed order of the series; ``changes`` are sections of the document, each a mapping, or its hand."""
    customer, _new = Customer.objects.get_or_create(name="Corin Saltby", country="PT")
    order = start_order(pattern=pattern, person=person, now=now)
    entered = copy.deepcopy(order.spec.entered)
    for key, value in changes.items():
        entered[key] = {**entered.get(key, {}), **value} if isinstance(value, dict) else value
    order = keep_draft(
        order=order, entered=entered, version=1, about=About(customer.pk), person=person, now=now
    )  # fmt: skip
    return place_order(order=order, person=person, now=now)


def paid(pattern: Pattern, person, now: datetime = NOW, **changes) -> Order:
    return clear_deposit(order=wish(pattern, person, now, **changes), person=person, now=now)
