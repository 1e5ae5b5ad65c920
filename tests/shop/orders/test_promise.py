"""A date from the form to the customer: shown live, given once, kept with the deposit, free again when cancelled."""

from __future__ import annotations

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from routing.models import Booking
from routing.planning.published import open_bookings, standing
from routing.said import day_said
from shop.orders.promising import PlaceGone, accept, promised, withdraw
from shop.orders.queries import check_order, one_order
from shop.orders.services import cancel_order, clear_deposit, place_order, start_order
from specs.errors import WrongState
from tests.routing.planning.planned_shop import build, crew, run

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(db):
    """A published plan of two builds."""
    owner = crew()[0]
    for number in range(2):
        build(owner, f"C26-900{number}", promise=timezone.localdate() + timedelta(days=300))
    run()
    return owner


@pytest.fixture
def order(shop, pattern, customer, sales):
    made = start_order(pattern=pattern, person=sales, now=timezone.now())
    made.customer = customer
    made.save(update_fields=["customer"])
    place_order(order=made, person=sales, now=timezone.now())
    return one_order(made.number)


def shown(order):
    now = timezone.now()
    return promised(order, check_order(order, now=now), now)


def give(order, sales, **more):
    given = {"shown": shown(order).promise.promised_on, "also_later": False} | more
    return accept(order=order, person=sales, now=timezone.now(), **given)


def press(client, name, order, **given):
    return client.post(reverse(f"orders:{name}", args=[order.number]), given | {"press": str(uuid4())})


def test_the_form_shows_the_day_while_it_is_typed(client_of, sales, shop, pattern):
    draft = start_order(pattern=pattern, person=sales, now=timezone.now())
    expected = shown(one_order(draft.number)).promise
    fields = {"about": "1", "version": draft.spec.entered_version, "press": str(uuid4())}
    live = client_of(sales).post(reverse("orders:check", args=[draft.number]), fields, headers={"HX-Request": "true"})
    assert day_said(expected.promised_on) in live.content.decode()
    assert "once the order is placed" in live.content.decode()


def test_before_the_first_plan_the_form_says_so(client_of, sales, pattern, db):
    draft = start_order(pattern=pattern, person=sales, now=timezone.now())
    page = client_of(sales).get(reverse("orders:form", args=[draft.number]))
    assert "No plan is published yet" in page.content.decode()


def test_the_page_offers_the_day_and_gives_it(client_of, sales, order):
    client = client_of(sales)
    page = client.get(reverse("orders:page", args=[order.number])).content.decode()
    day = re.search(r'name="shown" value="([\d-]+)"', page).group(1)
    assert press(client, "promise", order, shown=day).status_code == 302
    kept = one_order(order.number)
    assert kept.promise.isoformat() == day == kept.booking.promised_on.isoformat()
    after = client.get(reverse("orders:page", args=[order.number])).content.decode()
    assert "Take the promise back" in after
    assert 'name="shown"' not in after


def test_a_place_gone_is_told_with_the_new_day_on_the_page(client_of, sales, order):
    day = shown(order).promise.promised_on
    early = (day - timedelta(days=3)).isoformat()
    answer = press(client_of(sales), "promise", order, shown=early)
    assert answer.status_code == 409
    assert f"It is now {day_said(day)}; nothing was booked." in answer.content.decode()
    assert f'name="shown" value="{day.isoformat()}"' in answer.content.decode()
    assert not Booking.objects.exists()
    assert press(client_of(sales), "promise", order, shown=early, also_later="on").status_code == 302


def test_a_form_without_its_day_gives_nothing(client_of, sales, order):
    assert press(client_of(sales), "promise", order).status_code == 422
    assert not Booking.objects.exists()


def test_a_date_is_given_once(sales, order):
    given = give(order, sales)
    with pytest.raises(WrongState, match=f"promised for {day_said(given.promise)} already"):
        accept(order=order, shown=given.promise, also_later=True, person=sales, now=timezone.now())
    assert Booking.objects.count() == 1
    assert f"promised for {day_said(given.promise)}" in given.events.values_list("what", flat=True)


def test_a_draft_is_promised_nothing(sales, shop, pattern):
    draft = start_order(pattern=pattern, person=sales, now=timezone.now())
    with pytest.raises(WrongState, match="once it is placed"):
        accept(order=draft, shown=timezone.localdate(), also_later=True, person=sales, now=timezone.now())


def test_the_deposit_makes_the_build_of_the_booking(sales, order):
    given = give(order, sales)
    built = clear_deposit(order=given, person=sales, now=timezone.now())
    assert built.build.promise == given.promise
    assert Booking.objects.get().build == built.build
    with pytest.raises(WrongState, match="no promise that can be taken back"):
        withdraw(order=built, person=sales, now=timezone.now())


def test_a_cancelled_order_frees_its_place(sales, order):
    before = standing(timezone.now()).profile.flat.free.sum()
    give(order, sales)
    assert standing(timezone.now()).profile.flat.free.sum() < before
    cancel_order(order=order, reason="changed their mind", person=sales, now=timezone.now())
    assert list(open_bookings()) == []
    assert standing(timezone.now()).profile.flat.free.sum() == before


def test_taken_back_it_can_be_given_again(sales, order):
    given = give(order, sales)
    back = withdraw(order=given, person=sales, now=timezone.now())
    assert (back.promise, back.booking) == (None, None)
    assert give(one_order(order.number), sales).promise == given.promise


def test_an_order_with_a_build_gets_the_day_of_the_plan(sales, order):
    built = clear_deposit(order=order, person=sales, now=timezone.now())
    run()
    promise = shown(one_order(built.number)).promise
    given = give(one_order(built.number), sales)
    assert given.promise == promise.promised_on == given.booking.build.promise


def test_an_order_with_a_build_is_not_given_an_earlier_day_than_true(sales, order):
    built = clear_deposit(order=order, person=sales, now=timezone.now())
    run()
    with pytest.raises(PlaceGone, match="nothing was booked"):
        give(one_order(built.number), sales, shown=timezone.localdate())


def test_a_seller_may_and_the_bench_may_not(client_of, bench, order):
    assert press(client_of(bench), "promise", order, shown="2026-12-01").status_code == 403
