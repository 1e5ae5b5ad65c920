"""Done, as a page or the API means it: releasing the order where that is what the task is."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from routing.batches import DISPOSITION, done_on_batch
from routing.errors import WrongState
from routing.measured import SETUP, keep_setbacks
from routing.models import Kind, Task
from routing.said import listed
from routing.services import done_task
from shop.floor.measures import refuse_beyond_reason, setbacks_mm
from shop.orders.models import Order
from shop.papers.services import release_order, release_prototype
from specs.released import instrument


@transaction.atomic
def done(
    *, task_id: int, person: Any, now: datetime, readings: Mapping[str, Any] | None = None, note: str = ""
) -> Task:
    """The task done, with everything its being done means. Raises ``WrongState``, ``NotAllowed``, ``Refused``."""
    refuse_beyond_reason(readings or {})
    task = Task.objects.select_related("build").get(pk=task_id)
    if task.operation == DISPOSITION.name:
        raise WrongState(_("A batch is decided over on its own page, with what becomes of it."))
    row = listed(task.operation)
    if row is not None and row.releases and _released(task, person, now):
        task.refresh_from_db()
        return task
    if task.build.kind == Kind.BATCH:
        return done_on_batch(task=task, person=person, now=now, readings=readings, note=note)
    finished = done_task(task_id=task_id, person=person, now=now, readings=readings, note=note)
    _keep_setbacks(finished, setbacks_mm(readings or {}))
    return finished


def _released(task: Task, person: Any, now: datetime) -> bool:
    """Whether there was an order or a prototype to release."""
    order = Order.objects.filter(build=task.build_id).first()
    if order is not None:
        release_order(order=order, person=person, now=now)
    elif task.build.kind == Kind.PROTOTYPE:
        release_prototype(build=task.build, person=person, now=now)
    return order is not None or task.build.kind == Kind.PROTOTYPE


def _keep_setbacks(task: Task, measured_mm: Mapping[int, float]) -> None:
    if measured_mm and task.operation == SETUP.name and task.build.spec.is_released:
        keep_setbacks(event=task.events.last(), derived=instrument(task.build.spec), setbacks_mm=measured_mm)
