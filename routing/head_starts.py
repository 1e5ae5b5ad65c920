"""Parts made ahead: begun as ordinary work for stock, taken by a build whose operations are then done already."""

from __future__ import annotations

from datetime import datetime
from typing import Any, NamedTuple

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.building import begin
from routing.errors import WrongState
from routing.estimating import estimate_table
from routing.expand import part_rows
from routing.models import Build, EventKind, Kind, Task, TaskEvent, TaskState
from routing.parts import COVERED, NECK_BLANK, HeadStart
from routing.prototypes import HOME
from routing.readiness import Network, beyond, settle
from routing.said import moment_said
from routing.services import next_number
from specs.document import BuildSpec
from specs.models import Pattern, Spec

MOST_PIECES = 12
"""More blanks of one sort are not glued at once. **Source**: common practice is four to six."""


class Measure(NamedTuple):
    """What a neck blank must agree in with the instrument: what it fits and how long it is."""

    construction: str
    wood: str
    pieces: int
    strings: int
    length_mm: float


def measure_of(spec: BuildSpec) -> Measure:
    """The neck blank this instrument needs; its length goes by the longer scale, to a millimetre."""
    neck, scale = spec.neck, spec.scale
    longest = round(max(scale.bass_mm, scale.treble_mm))
    return Measure(neck.construction, neck.wood, neck.pieces, spec.strings.count, float(longest))


def measure_of_part(part: HeadStart) -> Measure:
    """What a part in stock fits."""
    return Measure(part.construction, part.wood, part.pieces, part.strings, part.length_mm)


@transaction.atomic
def make_head_starts(*, pattern: Pattern, pieces: int, person: Any, now: datetime) -> Build:
    """Work for stock: so many neck blanks as the pattern needs them, by ordinary tasks of so many times the hours.

    Raises ``WrongState`` for a number out of reason, ``Refused`` where the pattern is no instrument.
    """
    if not 1 <= pieces <= MOST_PIECES:
        raise WrongState(_("From 1 to {most} pieces are made at once; nothing was begun.").format(most=MOST_PIECES))
    spec = Spec.objects.create(pattern=pattern, entered=pattern.document, made_by=person)
    rows = part_rows(spec.build_spec(), HOME, COVERED[NECK_BLANK], pieces, estimate_table())
    serial = next_number(prefix=f"N{timezone.localtime(now):%y}")
    work = Build.objects.create(
        kind=Kind.STOCK, serial=serial, spec=spec, line=HOME.line, made_at=now, released_at=now
    )  # fmt: skip
    begin(build=work, rows=rows, lived={}, person=person)
    fits = measure_of(spec.build_spec())._asdict()
    HeadStart.objects.bulk_create(
        HeadStart(number=f"{serial}-{place}", made_in=work, **fits) for place in range(1, pieces + 1)
    )
    return work


@transaction.atomic
def take_head_start(*, number: str, build: Build, person: Any, now: datetime) -> HeadStart:
    """Let a released build begin with a part from stock: what the part brings is done, with the times it was made.

    One winner. Raises ``WrongState`` where the part is taken, rests or does not fit, or the build is past it.
    """
    build = Build.objects.select_for_update(of=("self",)).select_related("spec").get(pk=build.pk)
    part = HeadStart.objects.select_related("made_in", "used_by").get(number=number)
    _require_begun(build)
    _require_fit(part, build, now)
    tasks = list(build.tasks.filter(operation__in=COVERED[part.kind]))
    if not tasks or any(task.started_at or task.state not in _UNTOUCHED for task in tasks):
        raise WrongState(_("{serial} is past it: its own is begun or held.").format(serial=build.serial))
    if not HeadStart.objects.filter(pk=part.pk, used_by=None).update(used_by=build, used_at=now):
        raise WrongState(_("{number} was taken meanwhile.").format(number=part))
    _done_before(tasks, part)
    _settle(build, now)
    part.refresh_from_db()
    return part


_UNTOUCHED = (TaskState.NOT_READY, TaskState.READY)


def _require_begun(build: Build) -> None:
    if build.kind not in (Kind.INSTRUMENT, Kind.PROTOTYPE) or build.cancelled_at or build.finished_at:
        raise WrongState(_("{serial} is no instrument under way.").format(serial=build.serial))
    if build.released_at is None:
        raise WrongState(
            _("{serial} is not released yet; a part is cut to a released spec.").format(serial=build.serial)
        )


def _require_fit(part: HeadStart, build: Build, now: datetime) -> None:
    if part.used_by is not None:
        raise WrongState(_("{number} was taken by {serial}.").format(number=part, serial=part.used_by.serial))
    if part.made_in.cancelled_at or part.rested_from is None:
        raise WrongState(_("{number} is not made yet.").format(number=part))
    if part.rested_from > now:
        moment = moment_said(part.rested_from)
        raise WrongState(_("{number} rests until {moment}.").format(number=part, moment=moment))
    if measure_of(build.spec.build_spec()) != measure_of_part(part):
        raise WrongState(_("{number} does not fit {serial}.").format(number=part, serial=build.serial))


def _done_before(tasks: list[Task], part: HeadStart) -> None:
    """Each task done as its like was in the work for stock, the hands-on time shared out over the pieces."""
    made = {task.operation: task for task in part.made_in.tasks.select_related("person")}
    pieces = part.made_in.head_starts.count()
    for task in tasks:
        like = made[task.operation]
        task.state, task.person, task.touched_s = TaskState.DONE, like.person, like.touched_s // pieces
        task.started_at, task.done_at = like.started_at, like.done_at
    Task.objects.bulk_update(tasks, ("state", "person", "touched_s", "started_at", "done_at"))
    note = _("from stock {number}").format(number=part)
    TaskEvent.objects.bulk_create(_line(task, note) for task in tasks)


def _line(task: Task, note: str) -> TaskEvent:
    return TaskEvent(task=task, kind=EventKind.DONE, person=task.person, at=task.done_at, note=note)


def _settle(build: Build, now: datetime) -> None:
    """What follows may be taken up from now on; it did not wait at its bench while the part lay in stock."""
    network = Network(build.tasks.all(), beyond(build))
    changed = [task for task in network.tasks if settle(task, network, build.made_at)]
    for task in changed:
        if task.ready_at:
            task.ready_at = max(task.ready_at, now)
    Task.objects.bulk_update(changed, ("state", "ready_at"))
