"""Pages of orders and customers: the list, a new order, one order with its buttons, who orders."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, replace
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import get_language, gettext_lazy
from django.utils.translation import gettext as _

from routing.errors import WrongState
from routing.queries import path
from routing.said import day_said
from shop.orders.checking import checked_release
from shop.orders.forms import CustomerForm, DepositForm, InitialForm, PromiseForm
from shop.orders.models import Customer, Order, OrderState
from shop.orders.pictures import drawing_of
from shop.orders.promising import accept, promised, withdraw
from shop.orders.queries import (
    KEPT_OF_A_RELEASE,
    OPEN,
    PAGE,
    can_be_typed,
    check_order,
    estimates_of,
    facts_of,
    listed_orders,
    order_or_404,
    started_from,
)
from shop.orders.reserving import reserve
from shop.orders.services import (
    cancel_order,
    change_customer,
    clear_deposit,
    initial_caution,
    make_customer,
    place_order,
    revise_spec,
    start_order,
)
from shop.orders.standing import in_state, rows
from shop.people.access import may, role_of
from shop.people.presses import pressed
from specs.describe import describe
from specs.errors import Refused
from specs.models import Pattern

RECENT = 8
STATES = [*OrderState.choices[:2], (OrderState.BUILDING.value, gettext_lazy("before release or in the shop")),
          *OrderState.choices[3:]]  # fmt: skip


def list_page(request: HttpRequest) -> HttpResponse:
    """The orders, newest first, narrowed by state, line and words."""
    asked = {name: request.GET.get(name, "").strip() for name in ("state", "line", "text")}
    found = listed_orders(line=asked["line"], text=asked["text"]).filter(in_state(asked["state"]))
    orders = Paginator(found, PAGE).get_page(request.GET.get("page"))
    context = {"orders": orders, "rows": rows(orders, timezone.localdate()), "asked": asked}
    context |= {"states": STATES, "narrowed": any(asked.values())}
    return render(request, "orders/list.html", context)


@pressed()
def new(request: HttpRequest) -> HttpResponse:
    """Where an order starts: a pattern, or an earlier order, found by words."""
    if request.method == "POST":
        order = start_order(**_beginning(request), person=request.user, now=timezone.now())
        return redirect("orders:form", order.number)
    text = request.GET.get("text", "").strip()
    earlier = listed_orders(text=text)[:RECENT]
    context = {"patterns": Pattern.objects.offered(), "earlier": earlier, "text": text}
    return render(request, "orders/new.html", context)


def _beginning(request: HttpRequest) -> dict[str, Any]:
    if like := request.POST.get("like", ""):
        return {"like": order_or_404(like)}
    pattern = request.POST.get("pattern", "")
    return {"pattern": get_object_or_404(Pattern.objects.offered(), pk=pattern if pattern.isdecimal() else 0)}


def page(request: HttpRequest, number: str, refusal: str = "") -> HttpResponse:
    """One order: what it is in plain words, in figures, in a picture; its way through the shop; its buttons."""
    order = order_or_404(number, without=KEPT_OF_A_RELEASE)
    instrument = _instrument(order)
    context = instrument | {
        "promised": promised(order, instrument["checked"], timezone.now()),
        "order": order,
        "refusal": refusal,
        "standing": rows([order], timezone.localdate())[0],
        "path": path(order.build) if order.build else (),
        "sheets": order.build.sheets.select_related("spec", "job") if order.build else (),
        "events": order.events.select_related("person"),
        "may_write": may("orders:form", "POST", role_of(request)),
        "can_be_typed": can_be_typed(order),
        "can_be_cancelled": order.state in OPEN,
    }
    return render(request, "orders/page.html", context)


def _instrument(order: Order) -> dict[str, Any]:
    """The stored answer of a released revision; of an open one, the answer now."""
    spec, facts = order.spec, facts_of(order)
    answered = spec.initialled.select_related("person")
    if spec.is_released:
        checked = checked_release(spec, facts, started_from(order), estimates_of(order))
        checked = replace(checked, initialled=frozenset((one.rule, one.field, one.message) for one in answered))
    else:
        checked = check_order(order, now=timezone.now(), facts=facts)
    shown = {"checked": checked, "initialled": answered, "answer": checked.derived}
    if checked.derived is None:
        return shown
    read = checked.derived.spec
    return shown | {
        "described": describe(read),
        "hand": read.hand,
        "drawing": drawing_of(checked.derived),
        "largest_n": max(string.tension_n for string in checked.derived.strings),
        "kept_as": _content(f"{spec.pk} {spec.digest}" if spec.is_released else spec.entered, asdict(facts)),
    }


def _content(*shown: Any) -> str:
    """The name under which rendered figures are kept: another one for any other figure, order's fact or language."""
    return hashlib.sha256(json.dumps([*shown, get_language()]).encode()).hexdigest()


def _not_done(request: HttpRequest, number: str, why: str) -> HttpResponse:
    response = page(request, number, refusal=why)
    response.status_code = 422
    return response


def _to_page(request: HttpRequest, order: Order, said: str) -> HttpResponse:
    messages.success(request, said)
    return redirect("orders:page", order.number)


@pressed(fresh=page)
def place(request: HttpRequest, number: str) -> HttpResponse:
    """A draft becomes an order; what stops it is shown in its form."""
    order = order_or_404(number)
    try:
        place_order(order=order, person=request.user, now=timezone.now())
    except Refused as refused:
        messages.error(request, _("Not placed: {n} to put right.").format(n=len(refused.problems)), extra_tags="stop")
        return redirect("orders:form", number)
    return _to_page(request, order, _("{number} is placed. The deposit comes next.").format(number=number))


@pressed(fresh=page)
def promise(request: HttpRequest, number: str) -> HttpResponse:
    """The date shown is given to the customer and its place booked; where it has gone, the page shows the new one."""
    order, form = order_or_404(number), PromiseForm(request.POST)
    if not form.is_valid():
        return _not_done(request, number, _("The form did not say which day was shown; look at it again."))
    try:
        order = accept(order=order, **form.cleaned_data, person=request.user, now=timezone.now())
    except Refused as refused:
        raise WrongState(" ".join(problem.message for problem in refused.problems)) from refused
    return _to_page(
        request, order, _("{number} is promised for {day}.").format(number=order, day=day_said(order.promise))
    )


@pressed(fresh=page)
def withdraw_promise(request: HttpRequest, number: str) -> HttpResponse:
    """The promise is taken back; its place is free again."""
    order = withdraw(order=order_or_404(number), person=request.user, now=timezone.now())
    return _to_page(request, order, _("The promise of {number} is taken back.").format(number=order))


@pressed(fresh=page)
def deposit(request: HttpRequest, number: str) -> HttpResponse:
    """The deposit came: the build is made."""
    order, form = order_or_404(number), DepositForm(request.POST)
    if not form.is_valid():
        return _not_done(request, number, _("Write the promised day as 2026-04-14, or leave it open."))
    try:
        clear_deposit(order=order, person=request.user, now=timezone.now(), promise=form.cleaned_data["promise"])
    except Refused as refused:
        raise WrongState(" ".join(problem.message for problem in refused.problems)) from refused
    return _to_page(request, order, _deposit_said(order_or_404(number)))


def _deposit_said(order: Order) -> str:
    if order.line == "custom":
        return _("The deposit of {number} is cleared; its build is made.").format(number=order)
    if order.build is None:
        return _("The deposit of {number} is cleared; no instrument of a batch fits, so it waits.").format(number=order)
    return _("The deposit of {number} is cleared; {serial} is its instrument.").format(number=order, serial=order.build)


@pressed(fresh=page)
def reserve_one(request: HttpRequest, number: str) -> HttpResponse:
    """Look once more for an instrument of a batch that fits."""
    order = order_or_404(number)
    try:
        build = reserve(order=order, person=request.user, now=timezone.now())
    except Refused as refused:
        raise WrongState(" ".join(problem.message for problem in refused.problems)) from refused
    if build is None:
        return _not_done(request, number, _("No free instrument of a batch is what this order asks for."))
    return _to_page(request, order, _("{serial} is reserved.").format(serial=build))


@pressed(fresh=page)
def initial(request: HttpRequest, number: str) -> HttpResponse:
    """Somebody answers for a caution with initials and a reason."""
    order, form = order_or_404(number), InitialForm(request.POST)
    if not form.is_valid():
        return _not_done(request, number, _("Give initials and a reason for the caution; nothing was kept."))
    initial_caution(order=order, **form.cleaned_data, person=request.user, now=timezone.now())
    return _to_page(request, order, _("Initialled."))


@pressed(fresh=page)
def revise(request: HttpRequest, number: str) -> HttpResponse:
    """A new revision of a released spec, to be typed."""
    order = revise_spec(order=order_or_404(number), person=request.user, now=timezone.now())
    messages.success(request, _("Revision {revision} is open.").format(revision=order.spec.revision))
    return redirect("orders:form", number)


@pressed(fresh=page)
def cancel(request: HttpRequest, number: str) -> HttpResponse:
    """The order is cancelled, with the reason."""
    reason = request.POST.get("reason", "")
    order = cancel_order(order=order_or_404(number), reason=reason, person=request.user, now=timezone.now())
    return _to_page(request, order, _("{number} is cancelled.").format(number=number))


@pressed()
def customers(request: HttpRequest) -> HttpResponse:
    """Everybody who ordered or may order, and the form of a new customer."""
    form = CustomerForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        made = make_customer(**form.cleaned_data)
        messages.success(request, _("{name} is in the list.").format(name=made))
        return _to_whom_it_is_for(request.POST.get("order", ""), made)
    text = request.GET.get("text", "").strip()
    found = Customer.objects.filter(name__icontains=text).annotate(ordered=Count("orders")).order_by("name", "pk")
    listed = Paginator(found, PAGE).get_page(request.GET.get("page"))
    context = {"form": form, "customers": listed, "text": text, "for_order": request.GET.get("order", "")}
    return render(request, "orders/customers.html", context, status=422 if form.errors else 200)


def _to_whom_it_is_for(number: str, made: Customer) -> HttpResponse:
    """Back to the order a customer was written down for, with the customer chosen; else to the list."""
    if not Order.objects.filter(number=number).exists():
        return redirect("orders:customers")
    return redirect(f"{reverse('orders:form', args=[number])}?customer={made.pk}")


@pressed()
def customer(request: HttpRequest, pk: int) -> HttpResponse:
    """One customer: what is known, and what was ordered."""
    known = get_object_or_404(Customer, pk=pk)
    form = CustomerForm(request.POST or None, instance=known)
    if request.method == "POST" and form.is_valid():
        change_customer(customer=known, **form.cleaned_data)
        messages.success(request, _("{name} is kept.").format(name=known))
        return redirect("orders:customer", pk)
    orders = known.orders.select_related("spec__pattern")[:PAGE]
    context = {"form": form, "customer": known, "orders": orders}
    return render(request, "orders/customer.html", context, status=422 if form.errors else 200)
