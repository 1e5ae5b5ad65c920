"""The order form's live answer in a real Chromium."""

from __future__ import annotations

import pytest
from django.urls import reverse
from django.utils import timezone

from shop.orders.services import start_order
from specs.models import Pattern
from specs.starters import starter

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_what_was_opened_in_the_answer_stays_open_while_one_types(signed_in, sales):
    pattern = Pattern.objects.create(name="Turnstone", strings=5, line="custom", document=starter(5))
    order = start_order(pattern=pattern, person=sales, now=timezone.now())
    page = signed_in(sales)
    page.goto(reverse("orders:form", args=[order.number]))
    page.click("#closer-saddles > summary")
    page.fill("#in-scale-bass", "36 in")
    page.wait_for_selector("#tension td:has-text('914.40')")
    assert page.is_visible("#closer-saddles tbody")
    assert not page.is_visible("#closer-pickups tbody")
