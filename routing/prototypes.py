"""Prototypes: a design built without an order, by ordinary tasks that take real places and hands."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.building import FOR_CUSTOMER, begin
from routing.catalogue import OPERATIONS
from routing.errors import WrongState
from routing.estimating import estimate_table
from routing.expand import ExpandedTask, build_rows
from routing.models import Build, Kind
from routing.services import next_number
from specs.document import BuildSpec
from specs.facts import OrderFacts
from specs.models import Pattern, Spec, Stage

HOME = OrderFacts(carrier=False)
"""A prototype is built in the custom shop and goes nowhere, whatever line its design is meant for."""

DRAFTED = next(row.name for row in OPERATIONS if row.lived_on_order and not row.for_customer)


def prototype_rows(spec: BuildSpec) -> tuple[ExpandedTask, ...]:
    """The tasks of a prototype: those of a custom instrument but for what is done for its customer; one query.

    Raises ``Refused`` as expansion.
    """
    return build_rows(spec, HOME, estimate_table(), FOR_CUSTOMER)


@transaction.atomic
def make_prototype(*, pattern: Pattern, person: Any, now: datetime) -> Build:
    """A build of the design as it is now, with a spec of its own: the design may change meanwhile.

    Raises ``WrongState`` for a design that rests, ``Refused`` for one that is no instrument or cannot be expanded.
    """
    pattern = Pattern.objects.select_for_update().get(pk=pattern.pk)
    if pattern.stage == Stage.RESTING:
        raise WrongState(_("{name} rests; move it on before a prototype is built.").format(name=pattern))
    spec = Spec.objects.create(pattern=pattern, entered=pattern.document, made_by=person)
    rows = prototype_rows(spec.build_spec())
    serial = next_number(prefix=f"P{timezone.localtime(now):%y}")
    build = Build.objects.create(kind=Kind.PROTOTYPE, serial=serial, spec=spec, line=HOME.line, made_at=now)
    begin(build=build, rows=rows, lived={DRAFTED: (now, person)}, person=person)
    return build


@transaction.atomic
def stop_prototype(*, build: Build, now: datetime) -> Build:
    """Build a prototype no further; its tasks leave the queues. Raises ``WrongState`` where it is over already."""
    open_ones = Build.objects.filter(pk=build.pk, kind=Kind.PROTOTYPE, finished_at=None, cancelled_at=None)
    if not open_ones.update(cancelled_at=now):
        raise WrongState(_("{serial} is no prototype under way any more.").format(serial=build.serial))
    build.refresh_from_db()
    return build
