"""A pattern, a customer and orders at every state."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from shop.orders.models import Customer
from shop.orders.services import About, clear_deposit, keep_draft, place_order, start_order
from specs.models import Pattern
from specs.starters import starter

NOW = datetime(2026, 4, 14, 9, 0, tzinfo=UTC)


@pytest.fixture
def pattern(db) -> Pattern:
    return Pattern.objects.create(name="Turnstone", strings=5, line="custom", document=starter(5))


@pytest.fixture
def customer(db) -> Customer:
    return Customer.objects.create(name="Corin Saltby", country="PT")


@pytest.fixture
def draft(pattern, customer, sales):
    order = start_order(pattern=pattern, person=sales, now=NOW)
    return keep_draft(
        order=order, entered=order.spec.entered, version=1, about=About(customer.pk), person=sales, now=NOW
    )


@pytest.fixture
def placed(draft, sales):
    return place_order(order=draft, person=sales, now=NOW)


@pytest.fixture
def building(placed, sales):
    return clear_deposit(order=placed, person=sales, now=NOW)
