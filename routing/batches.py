"""A partner's batch: ordered with its instruments, its arrival moved, counted in with a sample drawn, disposed of."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from datetime import date, datetime, time, timedelta
from random import SystemRandom
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.acts import is_manager, lock_batch
from routing.building import begin, replan
from routing.catalogue import OPERATIONS, operation
from routing.errors import NotAllowed, WrongState
from routing.estimating import estimate_table
from routing.expand import batch_rows, build_rows
from routing.models import Batch, Build, EventKind, Kind, Outcome, Task, TaskEvent, TaskState
from routing.readiness import Network, beyond, settle
from routing.services import done_task, next_number, start_task
from specs.facts import OrderFacts
from specs.models import Pattern, Spec

SERIES = OrderFacts(line="series")
RECEIVING = next(row for row in OPERATIONS if row.starts_series_build)
ACCLIMATION = operation("Batch acclimation in cartons then open")
DISPOSITION = operation("Batch disposition")
ORDERED = next(row for row in OPERATIONS if row.per_batch)

Draw = Callable[[Sequence[int], int], Collection[int]]
"""Picks so many of the instruments by chance."""


@transaction.atomic
def make_batch(
    *, pattern: Pattern, spec: Spec, left_spec: Spec | None, partner: str, pieces: int, left_pieces: int,
    expected_on: date, person: Any, now: datetime,
) -> Batch:  # fmt: skip
    """A batch ordered now by its released specs: every row counted per batch once, a serial for every instrument."""
    year = f"{timezone.localtime(now):%y}"
    batch = Batch.objects.create(
        number=next_number(prefix=f"B{year}"), partner=partner, pattern=pattern, spec=spec, left_spec=left_spec,
        pieces=pieces, left_pieces=left_pieces, ordered_at=now, expected_on=expected_on,
    )  # fmt: skip
    work = _build(batch, batch.number, spec, now, kind=Kind.BATCH, promise=expected_on)
    rows = batch_rows(spec.build_spec(), SERIES, estimate_table())
    begin(build=work, rows=rows, lived={ORDERED.name: (now, person)}, person=person)
    for place in range(pieces):
        made_to = left_spec if left_spec and place < left_pieces else spec
        build = _build(batch, next_number(prefix=f"S{year}"), made_to, now)
        begin(build=build, rows=build_rows(made_to.build_spec(), SERIES, estimate_table()), lived={}, person=person)
    _spread_waits(work, expected_on)
    return batch


def _build(batch: Batch, serial: str, spec: Spec, now: datetime, **more: Any) -> Build:
    return Build.objects.create(
        batch=batch, serial=serial, spec=spec, line="series", made_at=now, released_at=now, **more
    )


@transaction.atomic
def move_arrival(*, batch: Batch, expected_on: date, now: datetime) -> Batch:
    """The partner names another day. Raises ``WrongState`` once the batch is counted in or gone."""
    work = _locked_work(batch)
    _require_open(Batch.objects.get(pk=batch.pk), work)
    if expected_on < work.made_at.date():
        raise WrongState(_("A batch cannot arrive before it was ordered; nothing was changed."))
    Batch.objects.filter(pk=batch.pk).update(expected_on=expected_on)
    Build.objects.filter(pk=work.pk).update(promise=expected_on)
    _spread_waits(work, expected_on)
    return Batch.objects.get(pk=batch.pk)


def _spread_waits(work: Build, expected_on: date) -> None:
    """Share the time from what the partner did last to the expected day out over the waits still to come, in the
    proportion of the operations table, so that the batch may be counted in from that day on and not before."""
    tasks = list(work.tasks.exclude(operation=DISPOSITION.name).order_by("position"))
    last = max(place for place, task in enumerate(tasks) if task.state == TaskState.DONE)
    ahead = tasks[last:]
    day = timezone.make_aware(datetime.combine(expected_on, time.min))
    span_h = max(0.0, (day - ahead[0].done_at) / timedelta(hours=1))
    usual_h = sum(operation(task.operation).wait_h for task in ahead)
    for task in ahead:
        task.wait_h = round(operation(task.operation).wait_h * span_h / usual_h)
    Task.objects.bulk_update(ahead, ("wait_h",))
    settle_work(work)


@transaction.atomic
def done_on_batch(*, task: Task, person: Any, now: datetime, **more: Any) -> Task:
    """A task of the batch itself is done; what is still to come ends on the day the partner named all the same.

    Raises as ``done_task``.
    """
    batch = Batch.objects.get(pk=task.build.batch_id)
    work = _locked_work(batch)
    finished = done_task(task_id=task.pk, person=person, now=now, **more)
    if batch.received is None:
        _spread_waits(work, batch.expected_on)
    return finished


def settle_work(work: Build) -> None:
    """Let every task of a batch and of its instruments take the state its predecessors now ask for."""
    network = Network(work.tasks.all(), beyond(work))
    changed = [task for task in network.all if settle(task, network, work.made_at)]
    Task.objects.bulk_update(changed, ("state", "ready_at"))


@transaction.atomic
def receive_batch(
    *, batch: Batch, arrived: Collection[str], sample: int, person: Any, now: datetime, draw: Draw | None = None
) -> list[Build]:
    """Count a batch in: those that arrived are received, as many as ``sample`` drawn by chance are to be inspected,
    the others spared; a missing one is cancelled. Returns the missing ones.

    Raises ``WrongState`` before the batch may arrive, twice, or for a sample larger than the lot; ``NotAllowed``.
    """
    work = _locked_work(batch)
    _require_open(Batch.objects.get(pk=batch.pk), work)
    builds = list(instruments(batch))
    here = [build for build in builds if build.serial in arrived]
    if not here or not 0 < sample <= len(here):
        raise WrongState(_("Tick what arrived and draw at least one of it, at most all; nothing was counted."))
    missing = [build for build in builds if build not in here]
    Build.objects.filter(pk__in=[build.pk for build in missing]).update(cancelled_at=now)
    _each(here, RECEIVING.name, person, now)
    _draw(here, sample, draw or SystemRandom().sample, now)
    Batch.objects.filter(pk=batch.pk).update(received=len(here), received_at=now)
    Build.objects.filter(pk=work.pk).update(promise=None)
    settle_work(work)
    return missing


def _draw(here: Sequence[Build], sample: int, draw: Draw, now: datetime) -> None:
    drawn = set(draw([build.pk for build in here], sample))
    for build in here:
        if build.pk not in drawn:
            build.is_drawn = False
            build.save(update_fields=["is_drawn"])
            replan(build=build, spec=build.spec, facts=SERIES, now=now)


@transaction.atomic
def acclimate_batch(*, batch: Batch, person: Any, now: datetime) -> int:
    """Put every instrument counted in to rest in its carton at once; how many. Raises as starting and ending one."""
    _locked_work(batch)
    put = _each(list(instruments(batch)), ACCLIMATION.name, person, now)
    if not put:
        raise WrongState(_("Nothing of {number} waits to be put to rest.").format(number=batch))
    return put


def _each(builds: Sequence[Build], name: str, person: Any, now: datetime) -> int:
    tasks = Task.objects.filter(build__in=builds, operation=name).exclude(state=TaskState.DONE).order_by("build_id")
    for task in tasks:
        if task.state != TaskState.ON_BENCH:
            start_task(task_id=task.pk, person=person, now=now)
        done_task(task_id=task.pk, person=person, now=now)
    return len(tasks)


@transaction.atomic
def dispose_batch(*, batch: Batch, outcome: Outcome, note: str, person: Any, now: datetime) -> Batch:
    """Decide over a batch after its sample. One sent back is over, with every instrument of it.

    Raises ``WrongState`` before the sample is inspected, twice, or where one sent back was begun; ``NotAllowed`` for
    anybody but a manager.
    """
    work = _locked_work(batch)
    if not is_manager(person):
        raise NotAllowed(_("A manager decides over a batch."))
    task = work.tasks.get(operation=DISPOSITION.name)
    if task.state != TaskState.ON_BENCH:
        start_task(task_id=task.pk, person=person, now=now)
    done_task(task_id=task.pk, person=person, now=now, note=": ".join(filter(None, (str(outcome.label), note)))[:300])
    Batch.objects.filter(pk=batch.pk).update(outcome=outcome)
    if outcome == Outcome.RETURNED:
        Build.objects.filter(batch=batch, cancelled_at=None).update(cancelled_at=now)
    return Batch.objects.get(pk=batch.pk)


@transaction.atomic
def take_from_stock(*, build: Build, reason: str, person: Any, now: datetime) -> None:
    """Open the last task of an instrument that was finished for stock: it is despatched after all."""
    if build.finished_at is None:
        return
    last = build.tasks.order_by("position").last()
    before = {"state": TaskState.DONE, "done_at": last.done_at.isoformat(), "person_id": last.person_id}
    Task.objects.filter(pk=last.pk).update(state=TaskState.READY, ready_at=now, done_at=None, person=None)
    Build.objects.filter(pk=build.pk).update(finished_at=None)
    TaskEvent.objects.create(task=last, kind=EventKind.REOPENED, person=person, at=now, note=reason, before=before)


def instruments(batch: Batch) -> Any:
    """The instruments of a batch that were neither missing nor sent back."""
    return batch.builds.filter(kind=Kind.INSTRUMENT, cancelled_at=None).select_related("spec").order_by("serial")


def _locked_work(batch: Batch) -> Build:
    """The build of a batch's own tasks, with all its builds kept from everybody else: builds first, then the batch."""
    builds = list(Build.objects.select_for_update().filter(batch=batch).order_by("pk"))
    work = next(build for build in builds if build.kind == Kind.BATCH)
    lock_batch(work)
    return work


def _require_open(batch: Batch, work: Build) -> None:
    if work.cancelled_at:
        raise WrongState(_("{number} was cancelled.").format(number=batch))
    if batch.received is not None:
        raise WrongState(
            _("{number} is counted in already: {count} pieces.").format(number=batch, count=batch.received)
        )
