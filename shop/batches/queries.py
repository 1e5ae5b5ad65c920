"""What is read across batches: where each stands, one with its instruments, what may be promised."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from math import floor

from django.db.models import Count, F, Q, QuerySet
from django.utils.translation import gettext as _

from routing.ahead import standing
from routing.batches import ACCLIMATION, DISPOSITION, RECEIVING
from routing.models import Batch, Build, Kind, Task, TaskState
from routing.said import waits_said
from shop.papers.models import Sheet

ARRIVES_SOUND = 0.95
"""The part of an arriving batch that may be promised. **Source**: common practice, no source: 3-5 % are rejected."""

DOCUMENTS = ("spec__entered", "spec__document", "spec__answer", "spec__table_versions", "pattern__document")
DOCUMENTS_OF_A_BUILD = DOCUMENTS[:4]
ALIVE = Q(builds__kind=Kind.INSTRUMENT, builds__cancelled_at=None)


@dataclass(frozen=True)
class Row:
    """One batch of the list and where it stands."""

    batch: Batch
    where: str
    is_late: bool
    is_held: bool


@dataclass(frozen=True)
class Piece:
    """One instrument of a batch: its place, hand, the task it stands at, its traveller, whether its work is held."""

    build: Build
    where: str
    is_left: bool
    is_held: bool
    task: Task | None
    sheet: Sheet | None


def listed_batches() -> QuerySet[Batch]:
    """Batches, newest first, each with its instruments and how many of them are reserved and finished."""
    batches = Batch.objects.select_related("pattern", "spec").defer(*DOCUMENTS)
    return batches.annotate(
        alive=Count("builds", filter=ALIVE),
        reserved=Count("builds", filter=ALIVE & Q(builds__order__isnull=False)),
        finished=Count("builds", filter=ALIVE & Q(builds__finished_at__isnull=False)),
    ).order_by("-ordered_at", "-pk")  # fmt: skip


def rows(batches: Iterable[Batch], today: date) -> list[Row]:
    """The batches with where their own work stands; two queries for all of them."""
    batches = list(batches)
    work = dict(Build.objects.filter(batch__in=batches, kind=Kind.BATCH).values_list("batch_id", "pk"))
    tasks = standing(work.values())
    return [_row(batch, tasks.get(work[batch.pk]), today) for batch in batches]


def _row(batch: Batch, task: Task | None, today: date) -> Row:
    late = is_late(batch, today)
    return Row(batch, where_said(batch, task, today), late, task is not None and task.state == TaskState.HELD)


def is_late(batch: Batch, today: date) -> bool:
    """Whether the batch should have been counted in before today."""
    return batch.received is None and batch.expected_on < today


def where_said(batch: Batch, task: Task | None, today: date) -> str:
    """What the batch waits for, in words."""
    if batch.outcome:
        return batch.get_outcome_display()
    if task is not None:
        return _("{operation}: {state}").format(operation=_(task.operation), state=task.get_state_display())
    if batch.received is None:
        return _("on its way") if today < batch.expected_on else _("waits to be counted in")
    return _("resting, or its sample is inspected")


def pieces(batch: Batch, now: datetime) -> list[Piece]:
    """The instruments of a batch, missing ones included, each with where it stands; three queries."""
    builds = batch.builds.filter(kind=Kind.INSTRUMENT).select_related("order__customer", "spec").order_by("serial")
    builds = list(builds.defer(*DOCUMENTS_OF_A_BUILD).annotate(hand=F("spec__document__hand")))
    tasks = standing(build.pk for build in builds)
    sheets = {(sheet.build_id, sheet.spec_id): sheet for sheet in Sheet.objects.filter(build__in=builds).order_by("pk")}
    return [_piece(one, tasks.get(one.pk), sheets.get((one.pk, one.spec_id)), now) for one in builds]


def _piece(build: Build, task: Task | None, sheet: Sheet | None, now: datetime) -> Piece:
    lives = build.cancelled_at is None and build.finished_at is None
    held = lives and task is not None and task.state == TaskState.HELD
    return Piece(build, _stands(build, task, now), build.hand == "left", held, task if lives else None, sheet)


def _stands(build: Build, task: Task | None, now: datetime) -> str:
    if build.cancelled_at:
        return _("missing or returned")
    if build.finished_at:
        return _("despatched") if getattr(build, "order", None) else _("in stock")
    if task is None:
        return _("with the partner, or its batch is not decided over")
    if task.operation == RECEIVING.name and task.ready_at and task.ready_at > now:
        return _("on its way")
    return _("{operation} · {station}").format(operation=_(task.operation), station=_(task.station.name))


@dataclass(frozen=True)
class Step:
    """One task counted once for the batch."""

    task: Task
    waits: str


def steps(work: Build, now: datetime) -> list[Step]:
    """The batch's own tasks in order, with until when the clock keeps one; one query."""
    tasks = work.tasks.select_related("station", "person", "build").order_by("position")
    return [Step(task, waits_said(task) if _waits(task, now) else "") for task in tasks]


def _waits(task: Task, now: datetime) -> bool:
    return task.state == TaskState.READY and task.ready_at > now


@dataclass(frozen=True)
class Next:
    """What the batch's page offers to do."""

    count: bool
    rest: int
    decide: bool


def next_of(batch: Batch, now: datetime) -> Next:
    """Whether it may be counted in, how many instruments wait to be put to rest, whether it can be decided over."""
    ready = Q(state=TaskState.READY, ready_at__lte=now) | Q(state=TaskState.ON_BENCH)
    here = Task.objects.filter(ready, build__batch=batch, build__cancelled_at=None)
    found = here.aggregate(
        count=Count("pk", filter=Q(operation=RECEIVING.name)),
        rest=Count("pk", filter=Q(operation=ACCLIMATION.name)),
        decide=Count("pk", filter=Q(operation=DISPOSITION.name)),
    )
    return Next(batch.received is None and bool(found["count"]), found["rest"], bool(found["decide"]))


@dataclass(frozen=True)
class Promisable:
    """Instruments of a pattern nobody has reserved: here, arriving, and how many of both may be promised."""

    pattern: str
    here: int
    arriving: int

    @property
    def may_promise(self) -> int:
        return self.here + floor(self.arriving * ARRIVES_SOUND)


def promisable() -> list[Promisable]:
    """What may be promised, by pattern; one query."""
    free = Build.objects.filter(kind=Kind.INSTRUMENT, batch__isnull=False, order=None, cancelled_at=None)
    rows = free.values("batch__pattern__name").order_by("batch__pattern__name").annotate(
        here=Count("pk", filter=Q(batch__received__isnull=False)),
        arriving=Count("pk", filter=Q(batch__received=None)),
    )  # fmt: skip
    return [Promisable(row["batch__pattern__name"], row["here"], row["arriving"]) for row in rows]
