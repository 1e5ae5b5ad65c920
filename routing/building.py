"""How a build comes to its tasks: expanded from its spec when made, and again while the spec is a draft."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from routing.acts import lock_batch
from routing.catalogue import OPERATIONS, STATIONS
from routing.errors import WrongState
from routing.estimating import estimate_table
from routing.expand import ExpandedTask, build_rows
from routing.models import Build, EventKind, Kind, Station, Task, TaskEvent, TaskState
from routing.readiness import GATES, Network, beyond, settle
from routing.said import task_said
from specs.facts import OrderFacts
from specs.models import Spec

Lived = Mapping[str, tuple[datetime, Any]]
PLANNED = ("position", "after", "beyond", "station", "low_h", "usual_h", "high_h", "wait_h", "state", "ready_at")
ASIDE = 10_000
"""Added to positions while they change places, so that none is taken twice."""
FOR_CUSTOMER = frozenset(row.name for row in OPERATIONS if row.for_customer)
_PLACE = {operation.name: place for place, operation in enumerate(OPERATIONS)}


def stations_by_name() -> dict[str, Station]:
    """The stations of the catalogue; the rows of those that are new are made."""
    known = {station.name: station for station in Station.objects.all()}
    new = [
        Station(slug=row.slug, name=row.name, position=place, places=row.places, caution=row.caution)
        for place, row in enumerate(STATIONS)
        if row.name not in known
    ]
    if not new:
        return known
    Station.objects.bulk_create(new, ignore_conflicts=True)
    return {station.name: station for station in Station.objects.all()}


@transaction.atomic
def make_build(
    *, serial: str, spec: Spec, facts: OrderFacts, lived: Lived, promise: date | None, person: Any, now: datetime
) -> Build:
    """The build of an order with its tasks; rows already lived on the order are done, with their times.

    Raises ``Refused`` where the spec cannot be expanded.
    """
    rows = build_rows(spec.build_spec(), facts, estimate_table())
    build = Build.objects.create(
        serial=serial,
        spec=spec,
        line=facts.line,
        export=facts.export,
        permit=facts.permit,
        promise=promise,
        made_at=now,
    )
    begin(build=build, rows=rows, lived=lived, person=person)
    return build


def begin(*, build: Build, rows: Sequence[ExpandedTask], lived: Lived, person: Any) -> None:
    """Give a new build its tasks; those already lived are done."""
    tasks = _planned(build, rows, {})
    for task in tasks:
        if task.operation in lived:
            _live(task, *lived[task.operation])
    _settle_all(build, tasks)
    Task.objects.bulk_create(tasks)
    _log_lived(tasks, person)


@transaction.atomic
def respec_build(*, build: Build, spec: Spec, facts: OrderFacts, person: Any, now: datetime) -> Build:
    """Expand a draft build again from its changed spec; what was done stays done.

    Raises ``WrongState`` once released, or while a task that falls away is on the bench; ``Refused`` as expansion.
    """
    build = Build.objects.select_for_update().get(pk=build.pk)
    lock_batch(build)
    if build.released_at or build.cancelled_at:
        raise WrongState(_("{serial} is no draft any more; its tasks stay.").format(serial=build.serial))
    replan(build=build, spec=spec, facts=facts, now=now)
    return _facts_kept(build, spec, facts)


def replan(*, build: Build, spec: Spec, facts: OrderFacts, now: datetime) -> None:
    """Give a locked build the tasks its spec asks for; an instrument not drawn is spared its batch's sampling.

    Raises ``WrongState`` while a task that falls away is on the bench; ``Refused`` as expansion.
    """
    known = {task.operation: task for task in build.tasks.select_related("person")}
    rows = build_rows(spec.build_spec(), facts, estimate_table(build.made_at), _spared(build))
    fallen = [task for name, task in known.items() if name not in {row.operation for row in rows}]
    _drop(build, fallen, now)
    build.tasks.update(position=F("position") + ASIDE)
    tasks = _planned(build, rows, known)
    kept = [task for task in fallen if task.state == TaskState.DONE]
    _settle_all(build, tasks)
    _put_behind(kept, len(tasks))
    _save(tasks, kept)


def _spared(build: Build) -> Container[str]:
    """The operations left out of this build though its spec asks for them."""
    if build.kind == Kind.PROTOTYPE:
        return FOR_CUSTOMER
    return () if build.is_drawn else GATES


def _planned(build: Build, rows: Sequence[ExpandedTask], known: Mapping[str, Task]) -> list[Task]:
    stations = stations_by_name()
    places = {row.operation: place for place, row in enumerate(rows)}
    tasks = []
    for row in rows:
        task = known.get(row.operation) or Task(build=build, operation=row.operation)
        task.position, task.after = places[row.operation], [places[name] for name in row.after]
        task.beyond, task.station, task.wait_h = list(row.beyond), stations[row.station], row.wait_h
        if task.state != TaskState.DONE:
            task.low_h, task.usual_h, task.high_h = row.touch_h
        tasks.append(task)
    return tasks


def _live(task: Task, at: datetime, person: Any) -> None:
    task.state, task.started_at, task.done_at, task.person = TaskState.DONE, at, at, person


def _settle_all(build: Build, tasks: Sequence[Task]) -> None:
    network = Network(tasks, beyond(build))
    for task in tasks:
        settle(task, network, build.made_at)


def _log_lived(tasks: Sequence[Task], person: Any) -> None:
    TaskEvent.objects.bulk_create(
        TaskEvent(task=task, kind=EventKind.DONE, person=task.person or person, at=task.done_at)
        for task in tasks
        if task.state == TaskState.DONE
    )


def _drop(build: Build, fallen: Sequence[Task], now: datetime) -> None:
    for task in fallen:
        if task.state == TaskState.ON_BENCH:
            task.build = build
            raise WrongState(task_said(task, now))
    gone = [task.pk for task in fallen if task.state != TaskState.DONE]
    Task.objects.filter(pk__in=gone).delete()


def _put_behind(kept: Sequence[Task], length: int) -> None:
    """Work done that the spec no longer asks for keeps its line of the log and holds nothing up."""
    for place, task in enumerate(sorted(kept, key=lambda task: _PLACE.get(task.operation, 0)), start=length):
        task.position, task.after = place, []


def _save(tasks: Sequence[Task], kept: Sequence[Task]) -> None:
    Task.objects.bulk_update([task for task in (*tasks, *kept) if task.pk], PLANNED)
    Task.objects.bulk_create([task for task in tasks if task.pk is None])


def _facts_kept(build: Build, spec: Spec, facts: OrderFacts) -> Build:
    build.spec, build.line, build.export, build.permit = spec, facts.line, facts.export, facts.permit
    build.save(update_fields=["spec", "line", "export", "permit"])
    return build
