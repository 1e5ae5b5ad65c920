"""Where each order of a list really is, in words: waiting for what, at which station, delivered, and whether late."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Q
from django.utils.translation import gettext as _

from routing.ahead import AFTER_DESPATCH, standing
from routing.models import Task, TaskState
from shop.orders.models import Order, OrderState


@dataclass(frozen=True)
class Row:
    """One order of the list, where it is, and whether its promise has passed."""

    order: Order
    where: str
    is_held: bool
    is_late: bool


def in_state(state: str) -> Q:
    """Orders of a state as the list shows it: one whose instrument has left the shop is delivered."""
    finished = Q(state=OrderState.BUILDING, build__finished_at__isnull=False)
    match state:
        case OrderState.BUILDING:
            return Q(state=state) & ~finished
        case OrderState.CLOSED:
            return Q(state=state) | finished
    return Q(state=state) if state in OrderState.values else Q()


def rows(orders: Iterable[Order], today: date) -> list[Row]:
    """The orders with where they stand; one query for all their builds."""
    orders = list(orders)
    tasks = standing(order.build_id for order in orders if order.build_id)
    return [_row(order, tasks.get(order.build_id), today) for order in orders]


def _row(order: Order, task: Task | None, today: date) -> Row:
    building = order.state == OrderState.BUILDING and not _delivered(order, task)
    late = building and order.promise is not None and order.promise < today
    return Row(order, where_said(order, task), task is not None and task.state == TaskState.HELD, late)


def where_said(order: Order, task: Task | None) -> str:
    """What the order waits for, or the station its instrument stands at."""
    if order.state == OrderState.PLACED:
        return _("waiting: deposit")
    if order.state != OrderState.BUILDING:
        return order.get_state_display()
    if order.build is None:
        return _("waiting: an instrument of a batch")
    if _delivered(order, task):
        return _("delivered")
    if task is None:
        return _("with the partner or on its way") if order.build.batch_id else _("in the shop")
    place = _("in the shop · {station}") if _released(order) else _("before release · {station}")
    return place.format(station=_(task.station.name))


def _released(order: Order) -> bool:
    """A series build has its papers from the partner's batch and is worked on from the start."""
    return order.line == "series" or order.build.released_at is not None


def _delivered(order: Order, task: Task | None) -> bool:
    finished = order.build is not None and order.build.finished_at is not None
    return finished or (task is not None and task.operation in AFTER_DESPATCH)
