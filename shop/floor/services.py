"""Done, as a page or the API means it: releasing the order where that is what the task is."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from routing.models import Task
from routing.said import listed
from routing.services import done_task
from shop.orders.models import Order
from shop.papers.services import release_order


@transaction.atomic
def done(
    *, task_id: int, person: Any, now: datetime, readings: Mapping[str, Any] | None = None, note: str = ""
) -> Task:
    """The task done, with everything its being done means. Raises ``WrongState``, ``NotAllowed``, ``Refused``."""
    task = Task.objects.get(pk=task_id)
    row = listed(task.operation)
    order = Order.objects.filter(build=task.build_id).first() if row is not None and row.releases else None
    if order is None:
        return done_task(task_id=task_id, person=person, now=now, readings=readings, note=note)
    release_order(order=order, person=person, now=now)
    task.refresh_from_db()
    return task
