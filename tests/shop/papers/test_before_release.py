"""The page of an order says what stands before its release, and leads to the traveller."""

from __future__ import annotations

from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from routing.models import TaskState
from shop.orders.services import clear_deposit
from shop.papers.services import release_order


def page_of(client, order) -> str:
    return client.get(reverse("orders:page", args=[order.number])).content.decode()


def test_a_release_that_cannot_succeed_says_why_and_where(client_of, manager, placed):
    order = clear_deposit(order=placed(), person=manager, now=timezone.now() - timedelta(days=1))
    page = page_of(client_of(manager), order)
    assert "Before it can be released" in page
    assert '<button disabled aria-describedby="before-release">Release</button>' in page
    waits = order.build.tasks.get(state=TaskState.READY)
    assert reverse("floor:task", args=[waits.pk]) in page
    assert reverse("floor:station", args=[waits.station.slug]) in page


def test_a_release_that_can_succeed_has_its_button(client_of, manager, ready):
    page = page_of(client_of(manager), ready())
    assert "<button>Release</button>" in page
    assert "Before it can be released" not in page


def test_a_released_order_leads_to_its_traveller_in_one_press(client_of, manager, ready, made):
    order = ready()
    sheet = made(release_order(order=order, person=manager, now=timezone.now()))
    assert f'class="button" href="{reverse("papers:file", args=[sheet.pk])}"' in page_of(client_of(manager), order)
