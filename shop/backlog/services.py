"""The rush tag put and lifted, with its line in the history of the order it is about."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from routing.models import Build, RushTag, Trial
from routing.planning import rushing
from shop.orders.models import Order, OrderEvent
from shop.people.models import Person


@transaction.atomic
def put_rush(*, trial: Trial, reason: str, fee: str, initials: str, person: Person, now: datetime) -> RushTag:
    """Put the tag and note it with fee and how many it delays. Raises what ``routing.planning.rushing`` raises."""
    tag = rushing.put_rush(trial=trial, reason=reason, fee=fee, initials=initials, person=person, now=now)
    said = _("rush tag put: {reason}; fee {fee}; delays {n} others")
    _note(tag.build, said.format(reason=tag.reason, fee=tag.fee, n=len(tag.delays)), person, now)
    return tag


@transaction.atomic
def lift_rush(*, tag: RushTag, reason: str, person: Person, now: datetime) -> RushTag:
    """Lift the tag and note it. Raises ``WrongState`` where it was lifted before."""
    lifted = rushing.lift_rush(tag=tag, reason=reason, person=person, now=now)
    _note(lifted.build, _("rush tag lifted {reason}").format(reason=reason.strip()).strip(), person, now)
    return lifted


def _note(build: Build, what: str, person: Person, now: datetime) -> None:
    """A prototype or stock work has no order to note it in."""
    order = Order.objects.filter(build=build).first()
    if order is not None:
        most = OrderEvent._meta.get_field("what").max_length
        OrderEvent.objects.create(order=order, what=what[:most], person=person, at=now)
