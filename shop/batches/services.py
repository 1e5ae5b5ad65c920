"""What is done with a partner's batch: ordered to a released spec, counted in with its papers, decided over."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

from routing.batches import SERIES, dispose_batch, instruments, make_batch, receive_batch
from routing.models import Batch, Build, Kind, Outcome
from shop.orders.checking import Checked, caution, check_entered
from shop.orders.models import Initialled, Order
from shop.orders.reserving import serve_waiting
from shop.orders.services import lose_instrument
from shop.papers.services import issue_batch, issue_sheet
from shop.people.models import Person
from specs.errors import Problem, Refused
from specs.models import Pattern, Spec
from specs.services import release_spec


@dataclass(frozen=True)
class Wanted:
    """What is ordered of a partner; ``reason`` answers for the cautions of the pattern."""

    pattern: Pattern
    partner: str
    pieces: int
    left_pieces: int
    expected_on: date
    reason: str = ""

    @property
    def hands(self) -> tuple[str, ...]:
        """The hands to be built, the one most are built to first."""
        hands = [("right", self.pieces - self.left_pieces), ("left", self.left_pieces)]
        return tuple(hand for hand, many in hands if many)


@transaction.atomic
def order_batch(*, wanted: Wanted, person: Person, now: datetime) -> Batch:
    """Freeze the pattern's spec for every hand, order the batch by it, and give it to the orders that wait.

    Raises ``Refused`` with everything that keeps the pattern from being built, its cautions without a reason included.
    """
    checked = {hand: _checked(wanted, hand, now) for hand in wanted.hands}
    if problems := _against(wanted, checked):
        raise Refused(problems)
    specs = [_released(wanted, hand, answer, person, now) for hand, answer in checked.items()]
    batch = make_batch(
        pattern=wanted.pattern, spec=specs[0], left_spec=specs[1] if len(specs) > 1 else None, partner=wanted.partner,
        pieces=wanted.pieces, left_pieces=wanted.left_pieces, expected_on=wanted.expected_on, person=person, now=now,
    )  # fmt: skip
    issue_batch(batch=batch, paper=settings.PAPER, person=person, now=now)
    serve_waiting(pattern=wanted.pattern, person=person, now=now)
    return batch


def _checked(wanted: Wanted, hand: str, now: datetime) -> Checked:
    return check_entered({**wanted.pattern.document, "hand": hand}, SERIES, now=now)


def _against(wanted: Wanted, checked: dict[str, Checked]) -> list[Problem]:
    problems = {problem.message: problem for answer in checked.values() for problem in answer.stops}
    if not wanted.reason.strip():
        for answer in checked.values():
            for one in answer.cautions:
                said = _("{message} Give a reason, or change the pattern.").format(message=one.message)
                problems[said] = Problem("reason", one.rule, said)
    return list(problems.values())


def _released(wanted: Wanted, hand: str, checked: Checked, person: Person, now: datetime) -> Spec:
    entered = {**wanted.pattern.document, "hand": hand}
    spec = Spec.objects.create(pattern=wanted.pattern, entered=entered, made_by=person)
    Initialled.objects.bulk_create(
        Initialled(
            spec=spec, rule=one.rule, field=one.field, message=caution(one)[2], initials=person.initials,
            reason=wanted.reason, person=person, at=now,
        )
        for one in checked.cautions
    )  # fmt: skip
    return release_spec(spec=spec, derived=checked.derived, findings=checked.findings, now=now)


@transaction.atomic
def count_batch(*, batch: Batch, arrived: Collection[str], sample: int, person: Person, now: datetime) -> Batch:
    """Count a batch in and issue the traveller of everything that came; an order whose instrument is missing gets
    another, where there is one. Raises as ``receive_batch``."""
    reserved = _reserved(batch)
    missing = receive_batch(batch=batch, arrived=arrived, sample=sample, person=person, now=now)
    for build in instruments(batch):
        issue_sheet(build=build, paper=settings.PAPER, person=person, now=now)
    _freed(batch, [reserved[build.pk] for build in missing if build.pk in reserved], _("it is missing"), person, now)
    return Batch.objects.get(pk=batch.pk)


@transaction.atomic
def decide_batch(*, batch: Batch, outcome: Outcome, note: str, person: Person, now: datetime) -> Batch:
    """The disposition; orders of a batch sent back wait for another instrument. Raises as ``dispose_batch``."""
    reserved = _reserved(batch)
    decided = dispose_batch(batch=batch, outcome=outcome, note=note, person=person, now=now)
    if outcome == Outcome.RETURNED:
        _freed(batch, list(reserved.values()), _("the batch was returned to the partner"), person, now)
    return decided


def _reserved(batch: Batch) -> dict[int, Order]:
    """The orders that have an instrument of the batch, by it; kept from everybody else until the transaction ends."""
    orders = Order.objects.select_for_update(of=("self",)).filter(build__batch=batch).order_by("pk")
    return {order.build_id: order for order in orders}


def _freed(batch: Batch, orders: list[Order], why: str, person: Person, now: datetime) -> None:
    for order in orders:
        lose_instrument(order=order, why=why, person=person, now=now)
    if orders:
        serve_waiting(pattern=batch.pattern, person=person, now=now)


def work_of(batch: Batch) -> Build:
    """The build that holds what is done once for the whole batch."""
    return Build.objects.select_related("spec").get(batch=batch, kind=Kind.BATCH)
