"""How work goes on: numbers given, builds made and respecified, tasks started, paused, done, held and taken back."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from routing.acts import Act, is_manager, restored
from routing.building import make_build, respec_build
from routing.errors import NotAllowed, WrongState
from routing.models import EventKind, Hold, NumberRun, Task, TaskEvent, TaskState
from routing.said import listed

__all__ = [
    "done_task", "hold_task", "lift_hold", "make_build", "next_number", "pause_task", "reopen_task", "respec_build",
    "start_task", "undo_last",
]  # fmt: skip

UNDO_FOR = timedelta(seconds=60)
OPEN = (TaskState.NOT_READY, TaskState.READY, TaskState.ON_BENCH)


@transaction.atomic
def next_number(*, prefix: str) -> str:
    """The next number of a run, each given once: C26-0142."""
    NumberRun.objects.get_or_create(prefix=prefix)
    NumberRun.objects.filter(prefix=prefix).update(last=F("last") + 1)
    return f"{prefix}-{NumberRun.objects.get(prefix=prefix).last:04d}"


@transaction.atomic
def start_task(*, task_id: int, person: Any, now: datetime) -> Task:
    """Take a ready task on the bench. Raises ``WrongState``, ``NotAllowed``."""
    act = Act.on(task_id, person, now)
    act.require_clock()
    act.claim(TaskState.READY, state=TaskState.ON_BENCH, person=person, started_at=now)
    act.require_hands()
    act.require_other_eyes()
    act.log(EventKind.STARTED)
    return act.task


@transaction.atomic
def pause_task(*, task_id: int, person: Any, now: datetime) -> Task:
    """Put a task back from the bench; its seconds are kept. Raises ``WrongState``, ``NotAllowed``."""
    act = Act.on(task_id, person, now)
    act.claim(TaskState.ON_BENCH, state=TaskState.READY, touched_s=act.touched_s(), person=None)
    act.require_own()
    act.log(EventKind.PAUSED)
    return act.task


@transaction.atomic
def done_task(
    *, task_id: int, person: Any, now: datetime, readings: Mapping[str, Any] | None = None, note: str = ""
) -> Task:
    """A task on the bench is done: what follows becomes ready when its cure or rest is out.

    Releasing is done from the desk, without a start. Raises ``WrongState``, ``NotAllowed``.
    """
    act = Act.on(task_id, person, now)
    row = listed(act.task.operation)
    releases = row is not None and row.releases
    act.require_clock()
    states = (TaskState.ON_BENCH, TaskState.READY) if releases else (TaskState.ON_BENCH,)
    act.claim(*states, state=TaskState.DONE, done_at=now, touched_s=act.touched_s(), person=person)
    act.require_hands()
    act.require_own()
    act.require_other_eyes()
    act.log(EventKind.DONE, note, readings)
    if releases and act.build.released_at is None:
        act.build.released_at = now
        act.build.save(update_fields=["released_at"])
    act.go_on()
    return act.task


@transaction.atomic
def hold_task(*, task_id: int, person: Any, now: datetime, reason: str) -> Task:
    """Stop a task that is not done, from whatever it is now. Raises ``WrongState``."""
    act = Act.on(task_id, person, now)
    _require_reason(reason)
    act.claim(*OPEN, state=TaskState.HELD, touched_s=act.touched_s(), person=None)
    Hold.objects.create(task=act.task, reason=reason.strip(), placed_by=person, placed_at=now)
    act.log(EventKind.HELD, reason.strip())
    return act.task


@transaction.atomic
def lift_hold(*, task_id: int, person: Any, now: datetime) -> Task:
    """Let a held task go on with what its predecessors say. Raises ``WrongState``, ``NotAllowed``."""
    act = Act.on(task_id, person, now)
    act.claim(TaskState.HELD, state=TaskState.NOT_READY, ready_at=None)
    hold = act.task.holds.get(lifted_at=None)
    if hold.placed_by_id != person.pk:
        act.require_hands()
    _lift(act.task, person, now)
    act.settle([act.task])
    act.log(EventKind.LIFTED, hold.reason)
    return act.task


@transaction.atomic
def reopen_task(*, task_id: int, person: Any, now: datetime, reason: str) -> Task:
    """Make a done task ready again while nothing after it has started. Raises ``WrongState``, ``NotAllowed``."""
    act = Act.on(task_id, person, now)
    _require_reason(reason)
    act.require_unreleased()
    act.claim(TaskState.DONE, state=TaskState.NOT_READY, done_at=None, person=None)
    act.require_hands()
    act.require_no_follower()
    act.settle([act.task])
    act.go_on()
    act.log(EventKind.REOPENED, reason.strip())
    return act.task


@transaction.atomic
def undo_last(*, task_id: int, person: Any, now: datetime) -> Task:
    """Take back the last event of a task within a minute, as a new event. Raises ``WrongState``, ``NotAllowed``."""
    act = Act.on(task_id, person, now)
    event = _undoable(act)
    act.require_unreleased()
    act.require_no_follower()
    act.claim(act.task.state, **restored(event.before))
    _undo_hold(act, event)
    act.settle([act.task])
    act.go_on()
    act.log(EventKind.UNDONE, undoes=event)
    return Task.objects.select_related("station", "person", "build").get(pk=task_id)


def _undoable(act: Act) -> TaskEvent:
    event = act.task.events.select_related("person").last()
    if event is None or event.kind == EventKind.UNDONE:
        raise WrongState(_("There is nothing to undo."))
    if act.now - event.at > UNDO_FOR:
        raise WrongState(_("Too late to undo: the minute is over. A done task can be reopened with a reason."))
    if event.person_id != act.person.pk and not is_manager(act.person):
        raise NotAllowed(_("{person} pressed it; {person} or a manager may undo it.").format(person=event.person))
    return event


def _undo_hold(act: Act, event: TaskEvent) -> None:
    if event.kind == EventKind.HELD:
        _lift(act.task, act.person, act.now)
    elif event.kind == EventKind.LIFTED:
        Hold.objects.create(task=act.task, reason=event.note, placed_by=act.person, placed_at=act.now)


def _lift(task: Task, person: Any, now: datetime) -> None:
    Hold.objects.filter(task=task, lifted_at=None).update(lifted_by=person, lifted_at=now)


def _require_reason(reason: str) -> None:
    if not reason.strip():
        raise WrongState(_("Say the reason in a few words; nothing was changed."))
