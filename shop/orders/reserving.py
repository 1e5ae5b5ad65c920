"""Which instrument of a partner's batch an order of the series takes: reserved once, given back to stock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction
from django.db.models import F, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.batches import take_from_stock
from routing.errors import WrongState
from routing.models import Build, Kind
from shop.orders.models import Order, OrderEvent, OrderState
from shop.people.models import Person
from specs.canonical import complete
from specs.differences import Difference, differences
from specs.models import Pattern

AT_HOME = ("strings.", "action.", "setup.", "case.", "remarks")
"""What an instrument from the partner can still be given at home. **Source**: common practice: the closed list of
series options leaves strings and setup preference; colour, hand and everything in wood are the partner's."""

AFTER_ARRIVAL = timedelta(weeks=3)
"""From a batch's arrival to the day one may promise. **Source**: common practice, no source."""


def free_instruments() -> QuerySet[Build]:
    """Instruments of batches nobody has reserved, lost or delivered: those here first, then as they arrive."""
    free = Build.objects.filter(kind=Kind.INSTRUMENT, batch__isnull=False, order=None, cancelled_at=None)
    return free.order_by(F("batch__received_at").asc(nulls_last=True), "batch__expected_on", "serial")


def not_as_built(order: Order, build: Build) -> tuple[Difference, ...]:
    """What an order asks for that the instrument is not and cannot become at home."""
    return _beyond_home(build.spec.document, _document(order))


def _document(order: Order) -> dict[str, Any]:
    return order.spec.document if order.spec.is_released else complete(order.spec.build_spec())


def _beyond_home(built: Mapping[str, Any], wanted: Mapping[str, Any]) -> tuple[Difference, ...]:
    found = differences(built, wanted)
    if len(built["strings"]["tuning"]) != len(wanted["strings"]["tuning"]):
        return found
    return tuple(one for one in found if not one.path.startswith(AT_HOME))


def _fitting(order: Order) -> Iterator[Build]:
    """Free instruments of the order's pattern that are, or can become, what it asks for; every spec compared once."""
    fits: dict[int, bool] = {}
    wanted = _document(order)
    for build in free_instruments().filter(spec__pattern=order.spec.pattern_id).select_related("spec", "batch"):
        if build.spec_id not in fits:
            fits[build.spec_id] = not _beyond_home(build.spec.document, wanted)
        if fits[build.spec_id]:
            yield build


@transaction.atomic
def reserve(*, order: Order, person: Person, now: datetime) -> Build | None:
    """The instrument the order gets: one winner of the last one, nothing where none fits, so that the order waits.

    Raises ``WrongState`` where the order has one already or takes none.
    """
    Order.objects.select_for_update().get(pk=order.pk)
    order = Order.objects.select_related("spec").get(pk=order.pk)
    if order.line != "series" or order.state != OrderState.BUILDING or order.build_id:
        raise WrongState(_("{number} takes no instrument of a batch now.").format(number=order))
    Pattern.objects.select_for_update().filter(pk=order.spec.pattern_id).first()  # its instruments go out one by one
    build = next(_fitting(order), None)
    if build is None:
        return None
    Order.objects.filter(pk=order.pk).update(build=build, promise=order.promise or _promise(build, now))
    Build.objects.filter(pk=build.pk).update(promise=Order.objects.get(pk=order.pk).promise)
    _note(order, _("{serial} of batch {batch} reserved").format(serial=build, batch=build.batch), person, now)
    take_from_stock(build=build, reason=_("sold to {number}").format(number=order), person=person, now=now)
    return build


def _promise(build: Build, now: datetime) -> Any:
    today = timezone.localdate(now)
    return AFTER_ARRIVAL + (today if build.batch.received is not None else max(today, build.batch.expected_on))


@transaction.atomic
def give_back(*, order: Order, why: str, person: Person, now: datetime) -> None:
    """The order's instrument goes back to those nobody has reserved."""
    Build.objects.filter(pk=order.build_id).update(promise=None)
    _note(order, _("{serial} given back: {why}").format(serial=order.build, why=why), person, now)
    Order.objects.filter(pk=order.pk).update(build=None)


def waiting_orders() -> QuerySet[Order]:
    """Orders of the series whose deposit has cleared and that have no instrument, first come first."""
    waiting = Order.objects.filter(line="series", state=OrderState.BUILDING, build=None)
    return waiting.order_by("deposit_at", "pk")


@transaction.atomic
def serve_waiting(*, pattern: Pattern, person: Person, now: datetime) -> int:
    """Give the free instruments of a pattern to the orders that wait for one; how many got theirs."""
    waiting = list(waiting_orders().filter(spec__pattern=pattern).select_for_update(of=("self",)))
    return sum(reserve(order=order, person=person, now=now) is not None for order in waiting)


def _note(order: Order, what: str, person: Person, now: datetime) -> None:
    OrderEvent.objects.create(order=order, what=what[:200], person=person, at=now)
