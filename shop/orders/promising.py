"""The promise of an order: what its form and page show, accepted once, withdrawn with the order."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import lru_cache

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from routing.adjustments import EstimateTable
from routing.errors import WrongState
from routing.expand import ExpandedTask, build_rows
from routing.models import Booking, Build
from routing.plan.problem import PlanRefused
from routing.planning.promising import (
    PlaceGone,
    Promise,
    Quoted,
    accept_build_promise,
    accept_promise,
    link_build,
    promise_of_build,
    quote_order,
    withdraw_promise,
)
from routing.planning.published import NoPlan, standing
from routing.said import day_said
from shop.orders.checking import Checked
from shop.orders.models import Order, OrderEvent, OrderState
from shop.orders.queries import check_order, estimates_of, facts_of
from shop.people.models import Person
from specs.document import BuildSpec
from specs.errors import Refused
from specs.facts import OrderFacts

__all__ = ["PlaceGone", "Promised", "accept", "drop", "follow_deposit", "other_finishes_named", "promised", "withdraw"]

FINISHES = {
    "oil": gettext_lazy("an oil finish"),
    "two-component": gettext_lazy("a two-component finish"),
    "nitrocellulose": gettext_lazy("a nitrocellulose finish"),
}


@dataclass(frozen=True)
class Promised:
    """What is known of an order's date: given already, to be given, or why there is none."""

    booking: Booking | None = None
    promise: Promise | None = None
    quoted: Quoted | None = None
    said: str = ""
    can_be_accepted: bool = False


def promised(order: Order, checked: Checked, now: datetime) -> Promised:
    """The date for the order as typed; one that has a promise keeps it."""
    if order.booking_id and order.booking.withdrawn_at is None:
        return Promised(booking=order.booking)
    if order.line != "custom":
        return Promised(said=_("An instrument of the series leaves when its batch is here and set up."))
    if not checked.tasks or order.state not in (OrderState.DRAFT, OrderState.PLACED, OrderState.BUILDING):
        return Promised()
    try:
        return _asked(order, checked, now)
    except (NoPlan, PlanRefused, WrongState) as reason:
        return Promised(said=_reason(reason))


def _reason(reason: Exception) -> str:
    return " ".join(one.message for one in reason.problems) if isinstance(reason, Refused) else str(reason)


def _asked(order: Order, checked: Checked, now: datetime) -> Promised:
    if order.build is not None:
        return Promised(promise=promise_of_build(order.build, now), can_be_accepted=True)
    here = standing(now)
    facts, hours = facts_of(order), estimates_of(order)
    others = other_finishes_named(checked.derived.spec, facts, hours)
    quoted = quote_order(checked.tasks, now=now, others=others, here=here)
    return Promised(promise=quoted.promise, quoted=quoted, can_be_accepted=order.state == OrderState.PLACED)


@lru_cache(maxsize=64)
def other_finishes(
    spec: BuildSpec, facts: OrderFacts, hours: EstimateTable
) -> tuple[tuple[str, tuple[ExpandedTask, ...]], ...]:
    """The same instrument with each other finish the shop builds, and its tasks."""
    kinds = [kind for kind in FINISHES if kind != spec.finish.kind]
    others = [replace(spec, finish=replace(spec.finish, kind=kind)) for kind in kinds]
    return tuple((kind, build_rows(other, facts, hours)) for kind, other in zip(kinds, others, strict=True))


def other_finishes_named(
    spec: BuildSpec, facts: OrderFacts, hours: EstimateTable
) -> dict[str, tuple[ExpandedTask, ...]]:
    """The same by what each is called in the reader's language."""
    return {str(FINISHES[kind]): tasks for kind, tasks in other_finishes(spec, facts, hours)}


@transaction.atomic
def accept(*, order: Order, shown: date, also_later: bool, person: Person, now: datetime) -> Order:
    """Give the order the date it was shown, once. Raises ``PlaceGone`` with the new date where the place has gone
    meanwhile, unless a later one will do; ``WrongState``, ``Refused``."""
    order = _fresh(order)
    if order.booking_id and order.booking.withdrawn_at is None:
        raise WrongState(_("{number} is promised for {day} already.").format(
            number=order, day=day_said(order.booking.promised_on)))  # fmt: skip
    given = {"shown": shown, "also_later": also_later, "person": person, "now": now, "facts": facts_of(order)}
    order.booking = _book(order, given)
    order.promise = order.booking.promised_on
    order.save(update_fields=["booking", "promise"])
    _note(order, _("promised for {day}").format(day=day_said(order.promise)), person, now)
    return order


def _book(order: Order, given: dict) -> Booking:
    if order.build is not None:
        return accept_build_promise(build=order.build, **given)
    if order.line != "custom" or order.state != OrderState.PLACED:
        raise WrongState(_("A date is given to a custom order once it is placed; {number} is: {state}.").format(
            number=order, state=order.get_state_display()))  # fmt: skip
    checked = check_order(order, now=given["now"])
    if checked.problems:
        raise Refused(checked.problems)
    return accept_promise(spec=order.spec, tasks=checked.tasks, **given)


def follow_deposit(order: Order, build: Build) -> None:
    """The build stands for the booking from now on."""
    if order.booking_id and order.booking.withdrawn_at is None and order.booking.build_id is None:
        link_build(booking=order.booking, build=build)


def drop(order: Order, now: datetime) -> None:
    """The order is not wanted any more: its place is free."""
    if order.booking_id and order.booking.withdrawn_at is None:
        withdraw_promise(booking=order.booking, now=now)


@transaction.atomic
def withdraw(*, order: Order, person: Person, now: datetime) -> Order:
    """Take the promise back, as long as there is no build. Raises ``WrongState``."""
    order = _fresh(order)
    if order.booking is None or order.booking.withdrawn_at or order.booking.build_id:
        raise WrongState(_("{number} has no promise that can be taken back.").format(number=order))
    withdraw_promise(booking=order.booking, now=now)
    order.booking = order.promise = None
    order.save(update_fields=["booking", "promise"])
    _note(order, _("promise taken back"), person, now)
    return order


def _fresh(order: Order) -> Order:
    related = ("customer", "spec__pattern", "spec__previous", "build__batch", "booking", "like__spec")
    return Order.objects.select_for_update(of=("self",)).select_related(*related).get(pk=order.pk)


def _note(order: Order, what: str, person: Person, now: datetime) -> None:
    OrderEvent.objects.create(order=order, what=what, person=person, at=now)
