"""What happens to an order: started, kept, placed, deposit cleared, cautions initialled, revised, cancelled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.catalogue import OPERATIONS
from routing.errors import WrongState
from routing.models import Build
from routing.planning.jobs import replan_after
from routing.services import make_build, next_number, respec_build
from shop.orders.checking import Checked, caution
from shop.orders.entries import Document, as_typed
from shop.orders.models import Customer, Initialled, Order, OrderEvent, OrderState
from shop.orders.promising import drop, follow_deposit
from shop.orders.queries import OPEN, check_order, facts_of
from shop.orders.reserving import give_back, reserve, serve_waiting
from shop.people.models import Person
from specs.errors import Problem, Refused
from specs.models import Pattern, Spec

PREFIX = {"custom": "C", "series": "S"}


@dataclass(frozen=True)
class About:
    """What an order says beside its spec."""

    customer_id: int | None = None
    wanted_by: date | None = None
    permit: bool = False
    carrier: bool = True
    remark: str = ""


@transaction.atomic
def start_order(*, pattern: Pattern | None = None, like: Order | None = None, person: Person, now: datetime) -> Order:
    """A draft from a pattern, or as an earlier order was; the earlier order stays as it is.

    Raises ``WrongState`` for a pattern that is not offered.
    """
    line, document, design = _beginning(pattern, like)
    spec = Spec.objects.create(pattern=design, entered=as_typed(document), made_by=person)
    number = next_number(prefix=f"{PREFIX[line]}{timezone.localtime(now):%y}")
    order = Order.objects.create(number=number, spec=spec, line=line, like=like, taken_by=person, taken_at=now)
    _note(order, _("started as {what}").format(what=like or design), person, now)
    return order


def _beginning(pattern: Pattern | None, like: Order | None) -> tuple[str, Document, Pattern | None]:
    if like is not None:
        return like.line, like.spec.document or like.spec.entered, like.spec.pattern
    if pattern is None:
        raise ValueError("an order starts from a pattern or from an earlier order")
    if not Pattern.objects.offered().filter(pk=pattern.pk).exists():
        raise WrongState(_("{pattern} is not offered; an order starts from one that is.").format(pattern=pattern))
    return pattern.line, pattern.document, pattern


@transaction.atomic
def keep_draft(
    *, order: Order, entered: Document, version: int, about: About | None = None,
    person: Person, now: datetime, say: bool = False,
) -> Order:  # fmt: skip
    """Keep what was typed, problems and all; once placed, only what can be built.

    ``version`` is how often the draft had been kept when the form was shown: raises ``WrongState`` where somebody
    kept it since, ``Refused`` where a placed order would stop being buildable. ``say`` writes it into the history.
    """
    Order.objects.select_for_update().values_list("pk").get(pk=order.pk)
    changed = {"entered": entered, "entered_version": F("entered_version") + 1, "kept_at": now}
    open_orders = Order.objects.filter(pk=order.pk, state__in=OPEN).values("spec_id")
    draft = Spec.objects.filter(pk__in=open_orders, pk=order.spec_id, released_at=None, entered_version=version)
    if not draft.update(**changed):
        raise WrongState(_kept_since(order))
    if about is not None:
        Order.objects.filter(pk=order.pk).update(**vars(about))
    order = _fresh(order)
    if order.state != OrderState.DRAFT:
        _require_buildable(order, check_order(order, now=now))
        _follow(order, person, now)
    if say:
        _note(order, _("specification kept"), person, now)
    return order


def _kept_since(order: Order) -> str:
    fresh = _fresh(order)
    if fresh.spec.is_released or fresh.state not in OPEN:
        return _("{number} cannot be typed into any more: {state}.").format(number=fresh, state=_state_said(fresh))
    at = timezone.localtime(fresh.spec.kept_at)
    return _(
        "This draft was kept from another window at {at}. What you typed is still here: "
        "keep yours over it, or load the page again to see the other."
    ).format(at=f"{at:%H:%M}")


def _state_said(order: Order) -> str:
    return _("revision {revision} is released").format(revision=order.spec.revision) if order.spec.is_released else (
        order.get_state_display()
    )  # fmt: skip


def _follow(order: Order, person: Person, now: datetime) -> None:
    """A build not yet released takes the changed spec."""
    if order.build and order.build.spec_id == order.spec_id and order.build.released_at is None:
        respec_build(build=order.build, spec=order.spec, facts=facts_of(order), person=person, now=now)
    if order.build or order.booking_id:
        replan_after()


@transaction.atomic
def place_order(*, order: Order, person: Person, now: datetime) -> Order:
    """A draft becomes an order. Raises ``Refused`` with everything that stops it, ``WrongState`` once it is placed."""
    order = _fresh(order)
    if order.state == OrderState.DRAFT:
        _require_buildable(order, check_order(order, now=now))
    _move(order, OrderState.DRAFT, state=OrderState.PLACED, placed_at=now)
    _note(order, _("placed"), person, now)
    return _fresh(order)


def _require_buildable(order: Order, checked: Checked) -> None:
    problems = list(checked.stops)
    if order.customer_id is None:
        problems.insert(0, Problem("customer", "missing", _("Choose who the instrument is for.")))
    if problems:
        raise Refused(problems)


@transaction.atomic
def clear_deposit(*, order: Order, person: Person, now: datetime, promise: date | None = None) -> Order:
    """The deposit has come: the order gets its build and a place in the line, one of the series an instrument of a
    partner's batch, where one fits that nobody has. Raises ``WrongState``, ``Refused``."""
    _move(order, OrderState.PLACED, state=OrderState.BUILDING, deposit_at=now, promise=promise or order.promise)
    order = _fresh(order)
    _note(order, _("deposit cleared"), person, now)
    if order.line == "series":
        if reserve(order=order, person=person, now=now) is None:
            _note(order, _("waits for an instrument of the partner's next batch"), person, now)
        return _fresh(order)
    order.build = make_build(
        serial=order.number, spec=order.spec, facts=facts_of(order), lived=lived_on(order, person),
        promise=order.promise, person=person, now=now,
    )  # fmt: skip
    order.save(update_fields=["build"])
    follow_deposit(order, order.build)
    replan_after()
    return order


def lived_on(order: Order, person: Person) -> Mapping[str, tuple[datetime, Person]]:
    """The operations an order itself lives through, in table order: when, and by whom."""
    names = [operation.name for operation in OPERATIONS if operation.lived_on_order]
    placed = order.placed_at or order.taken_at
    moments = (order.taken_at, placed, placed, order.deposit_at or placed)
    people = (order.taken_by, order.taken_by, order.taken_by, person)
    return {name: (at, who) for name, at, who in zip(names, moments, people, strict=True)}


@transaction.atomic
def initial_caution(
    *, order: Order, rule: str, field: str, initials: str, reason: str, person: Person, now: datetime
) -> Initialled:
    """Answer for a caution that stands now. Raises ``WrongState`` where it does not, or is answered already."""
    order = _fresh(order)
    if order.spec.is_released:
        raise WrongState(_kept_since(order))
    checked = check_order(order, now=now)
    found = next((one for one in checked.cautions if (one.rule, one.field) == (rule, field)), None)
    if found is None:
        raise WrongState(_("That caution is initialled already or no longer stands."))
    row, _made = Initialled.objects.update_or_create(
        spec=order.spec, rule=rule, field=field,
        defaults={
            "message": caution(found)[2], "initials": initials, "reason": reason, "person": person, "at": now,
        },
    )  # fmt: skip
    _note(order, _("{initials} for {rule}: {reason}").format(initials=initials, rule=rule, reason=reason), person, now)
    return row


@transaction.atomic
def revise_spec(*, order: Order, person: Person, now: datetime) -> Order:
    """A new revision to type into, that points at the released one. Raises ``WrongState`` where none is released."""
    order = _fresh(order)
    if order.state != OrderState.BUILDING or not order.spec.is_released:
        raise WrongState(_("{number} has no released revision to revise: {state}.").format(
            number=order, state=order.get_state_display()
        ))  # fmt: skip
    old = order.spec
    new = Spec.objects.create(
        pattern=old.pattern, previous=old, revision=next_letter(old.revision), entered=old.entered, made_by=person
    )
    if not Order.objects.filter(pk=order.pk, spec=old).update(spec=new):
        raise WrongState(_kept_since(order))
    _note(order, _("revision {revision} begun").format(revision=new.revision), person, now)
    return _fresh(order)


@transaction.atomic
def lose_instrument(*, order: Order, why: str, person: Person, now: datetime) -> Order:
    """An order's instrument did not come or went back: it waits for another one, a released revision opened again."""
    order = _fresh(order)
    give_back(order=order, why=why, person=person, now=now)
    if order.state == OrderState.BUILDING and order.spec.is_released:
        return revise_spec(order=order, person=person, now=now)
    return _fresh(order)


def next_letter(revision: str) -> str:
    """The revision after this one: A, B … Z, AA, AB. **Source**: common practice of drawings (letters in order)."""
    head, last = revision[:-1], revision[-1]
    if last != "Z":
        return head + chr(ord(last) + 1)
    return (next_letter(head) if head else "A") + "A"


@transaction.atomic
def cancel_order(*, order: Order, reason: str, person: Person, now: datetime) -> Order:
    """The customer does not want it any more; its build leaves the queues. Raises ``WrongState``."""
    if not reason.strip():
        raise WrongState(_("Say in a few words why the order is cancelled; nothing was changed."))
    _move(order, *OPEN, state=OrderState.CANCELLED)
    order = _fresh(order)
    if order.build and order.build.batch_id and order.build.finished_at is None:
        give_back(order=order, why=_("the order is cancelled"), person=person, now=now)
        serve_waiting(pattern=order.spec.pattern, person=person, now=now)
    Build.objects.filter(order=order, finished_at=None).update(cancelled_at=now)
    drop(order, now)
    replan_after()
    _note(order, _("cancelled: {reason}").format(reason=reason.strip()), person, now)
    return _fresh(order)


def make_customer(**given: Any) -> Customer:
    """A new customer."""
    return Customer.objects.create(**given)


@transaction.atomic
def change_customer(*, customer: Customer, **given: Any) -> Customer:
    """The customer with what is given; orders that now ship elsewhere are checked afresh when next opened."""
    Customer.objects.filter(pk=customer.pk).update(**given)
    customer.refresh_from_db()
    return customer


def _move(order: Order, *states: OrderState, **changes: Any) -> None:
    if not Order.objects.filter(pk=order.pk, state__in=states).update(**changes):
        fresh = _fresh(order)
        raise WrongState(_("{number} is already: {state}.").format(number=fresh, state=fresh.get_state_display()))


def _fresh(order: Order) -> Order:
    """The order as it is now, kept from everybody else until the transaction ends."""
    related = ("customer", "spec__pattern", "spec__previous", "build", "booking", "taken_by", "like__spec")
    return Order.objects.select_for_update(of=("self",)).select_related(*related).get(pk=order.pk)


def _note(order: Order, what: str, person: Person, now: datetime) -> None:
    OrderEvent.objects.create(order=order, what=what[:200], person=person, at=now)
