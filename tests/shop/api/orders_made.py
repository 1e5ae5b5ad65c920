"""Orders with builds, small enough to count their queries."""

from __future__ import annotations

from datetime import timedelta

from routing.models import Build
from shop.orders.models import Customer, Order, OrderEvent, OrderState
from shop.people.models import Person
from tests.routing.made import NOW, TWO_MEET, build


def order(owner: Person, number: int = 1, **more) -> Order:
    """An order with a customer, a build of three tasks and one line of history."""
    customer = Customer.objects.create(name=f"Redshank {number}", country="PT", email="keep@example.org")
    made = build(owner, *TWO_MEET, serial=f"C26-{number:04d}")
    values = {"state": OrderState.BUILDING, "line": "custom", "taken_at": NOW + timedelta(hours=number)} | more
    placed = Order.objects.create(
        number=f"Q26-{number:04d}", customer=customer, spec=made.spec, build=made, taken_by=owner, **values
    )
    OrderEvent.objects.create(order=placed, what="deposit cleared", person=owner, at=NOW)
    return placed


def path_of(made: Build, position: int, act: str = "") -> str:
    """The API's address of a task, or of an act on it."""
    task = f"/api/tasks/{made.tasks.get(position=position).pk}/"
    return f"{task}{act}/" if act else task
