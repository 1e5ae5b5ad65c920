"""Where the orders of the list stand, in words."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from django.urls import reverse

from routing.models import Build, Task, TaskState
from shop.orders.models import Order
from shop.orders.standing import rows

TODAY = date(2026, 4, 15)


def stands(order: Order) -> tuple[str, bool]:
    fresh = Order.objects.select_related("build").filter(pk=order.pk)
    (row,) = rows(fresh, TODAY)
    return row.where, row.is_late


def test_a_draft_and_a_placed_order_say_what_they_wait_for(draft):
    assert stands(draft) == ("draft", False)


def test_a_placed_order_waits_for_its_deposit(placed):
    assert stands(placed) == ("waiting: deposit", False)


def test_a_build_stands_at_a_station_and_is_late_after_its_promise(building):
    Order.objects.filter(pk=building.pk).update(promise=TODAY - timedelta(days=1))
    assert stands(building) == ("before release · Drawing and CNC programming", True)
    Build.objects.update(released_at=datetime(2026, 4, 14, tzinfo=UTC))
    assert stands(building) == ("in the shop · Drawing and CNC programming", True)


def test_a_finished_build_is_delivered_and_no_longer_late(building):
    Order.objects.filter(pk=building.pk).update(promise=TODAY - timedelta(days=1))
    Build.objects.update(finished_at=datetime(2026, 4, 14, tzinfo=UTC))
    assert stands(building) == ("delivered", False)


def test_the_list_finds_delivered_orders_apart_from_those_in_the_shop(building, client_of, sales):
    Build.objects.update(finished_at=datetime(2026, 4, 14, tzinfo=UTC))
    found = {state: building.number in _listed(client_of(sales), state) for state in ("building", "closed")}
    assert found == {"building": False, "closed": True}


def test_a_held_task_says_so_with_its_shape(building, client_of, sales):
    Task.objects.filter(state=TaskState.READY).update(state=TaskState.HELD)
    assert "held" in _listed(client_of(sales), "building")


def _listed(desk, state: str) -> str:
    return desk.get(f"{reverse('orders:list')}?state={state}").content.decode()
