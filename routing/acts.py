"""One person's act on one task: the build locked, the claim, who may, the log, and what follows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _

from routing.errors import NotAllowed, WrongState
from routing.models import Batch, Build, EventKind, Kind, Qualification, Task, TaskEvent, TaskState
from routing.readiness import Network, beyond, settle, started
from routing.said import listed, names_said, task_said

MOMENTS = ("ready_at", "started_at", "done_at")
KEPT = ("state", *MOMENTS, "touched_s", "person_id")
JUDGES = ("lead luthier", "inspector who did not build it",
          "inspector who did neither the work nor the repair")  # fmt: skip
"""Signers of hold points who do the looking themselves and never at their own work. A second person signs beside
whoever cuts; a finisher's cure tag or a paper of the desk is their own."""


def is_manager(person: Any) -> bool:
    """Whether the person may do everything at every station."""
    return person.is_superuser or person.role == "manager"


@dataclass
class Act:
    """A task with the whole network of its build and batch, locked until the transaction ends."""

    build: Build
    task: Task
    network: Network
    person: Any
    now: datetime
    before: dict[str, Any] = field(default_factory=dict)

    @classmethod
    def on(cls, task_id: int, person: Any, now: datetime) -> Act:
        """Lock the build of a task and read its tasks. Raises ``Build.DoesNotExist``, ``WrongState`` if cancelled.

        Two predecessors finished at once are told apart by this lock, so one of them sees the other done.
        """
        build = Build.objects.select_for_update(of=("self",)).get(tasks=task_id)
        lock_batch(build)
        tasks = list(build.tasks.select_related("station", "person"))
        for task in tasks:
            task.build = build
        network = Network(tasks, beyond(build))
        act = cls(build, next(task for task in tasks if task.pk == task_id), network, person, now)
        if build.cancelled_at:
            raise WrongState(_("{serial} was cancelled; nothing more is done on it.").format(serial=build.serial))
        act.before = {name: getattr(act.task, name) for name in KEPT}
        return act

    @property
    def predecessors(self) -> list[Task]:
        return self.network.before(self.task)

    def refuse(self) -> WrongState:
        """The refusal that says what the task is now."""
        return WrongState(task_said(self.task, self.now, self.predecessors))

    def claim(self, *states: str, **changes: Any) -> None:
        """Change the task if it still is in one of the states: one winner, everybody else learns what it is now."""
        if not Task.objects.filter(pk=self.task.pk, state__in=states).update(**changes):
            raise self.refuse()
        for name, value in changes.items():
            setattr(self.task, name, value)

    def require_clock(self) -> None:
        """Refuse while a cure or a rest is not out."""
        if self.task.state == TaskState.READY and self.task.ready_at > self.now:
            raise self.refuse()

    def touched_s(self) -> int:
        """Seconds on the bench, the present stay included."""
        if self.task.state != TaskState.ON_BENCH:
            return self.task.touched_s
        return self.task.touched_s + max(0, int((self.now - self.task.started_at).total_seconds()))

    def require_hands(self) -> None:
        """Refuse whoever is neither qualified at the station nor a manager."""
        if is_manager(self.person):
            return
        qualified = Qualification.objects.filter(station=self.task.station, person__is_active=True)
        people = [row.person for row in qualified.select_related("person").order_by("person_id")]
        if self.person not in people:
            message = _("{person} is not qualified at {station}; a manager may, and: {people}.")
            raise NotAllowed(
                message.format(person=self.person, station=_(self.task.station.name), people=names_said(people))
            )

    def require_own(self) -> None:
        """Refuse to act on a task another person has on the bench."""
        holder = self.before["person_id"] if self.before["state"] == TaskState.ON_BENCH else None
        if holder not in (None, self.person.pk) and not is_manager(self.person):
            person = TaskEvent.objects.filter(task=self.task, person_id=holder).latest("at", "pk").person
            raise NotAllowed(_("{person} has it on the bench; {person} or a manager may.").format(person=person))

    def require_other_eyes(self) -> None:
        """Refuse a hold point's signature from whoever did the work it judges."""
        row = listed(self.task.operation)
        if row is None or row.hold_point is None or row.hold_point.signer not in JUDGES:
            return
        hands = TaskEvent.objects.filter(task__in=self.predecessors, kind__in=(EventKind.STARTED, EventKind.DONE))
        if hands.filter(person=self.person, undone_by=None).exists():
            message = _("{operation} is a hold point: somebody signs who did not do the work before it, not {person}.")
            raise NotAllowed(message.format(operation=_(self.task.operation), person=self.person))

    def require_no_follower(self) -> None:
        """Refuse to take back what others already build on."""
        gone_on = dict.fromkeys(_(task.operation) for task in started(self.network.followers(self.task)))
        if gone_on:
            raise WrongState(_("Too late: {operation} has been started after it.").format(operation=", ".join(gone_on)))

    def require_unreleased(self) -> None:
        """Refuse to take a release back: a released thing never changes, a change makes a new revision."""
        row = listed(self.task.operation)
        if row is not None and row.releases and self.build.released_at:
            raise WrongState(_("A release is not taken back; a change makes a new revision of the spec."))

    def log(self, kind: str, note: str = "", readings: Mapping[str, Any] | None = None, **more: Any) -> TaskEvent:
        """Write the line of the log."""
        before = {
            name: value.isoformat() if isinstance(value, datetime) else value for name, value in self.before.items()
        }
        return TaskEvent.objects.create(
            task=self.task, kind=kind, person=self.person, at=self.now, note=note,
            readings=dict(readings or {}), before=before, **more,
        )  # fmt: skip

    def go_on(self) -> None:
        """Let the followers and the build know what the task has become."""
        self.settle(self.network.followers(self.task))
        finished = all(task.state == TaskState.DONE for task in self.network.tasks)
        if finished != bool(self.build.finished_at):
            self.build.finished_at = self.now if finished else None
            self.build.save(update_fields=["finished_at"])
            if self.build.kind == Kind.BATCH and not finished:
                Batch.objects.filter(pk=self.build.batch_id).update(outcome="")

    def settle(self, tasks: Iterable[Task]) -> None:
        """Write the state the predecessors ask for, where it is another one."""
        changed = [task for task in tasks if settle(task, self.network, self.build.made_at)]
        Task.objects.bulk_update(changed, ("state", "ready_at"))


def lock_batch(build: Build) -> None:
    """Keep a build's batch from everybody else too, always after the build itself, so that nobody waits in a circle."""
    if build.batch_id:
        Batch.objects.select_for_update().values_list("pk").get(pk=build.batch_id)


def _jsonable(value: Any) -> Any:
    return value.isoformat() if isinstance(value, datetime) else value


def restored(before: Mapping[str, Any]) -> dict[str, Any]:
    """The fields of a task as a line of the log remembers them."""
    return {name: parse_datetime(before[name]) if name in MOMENTS and before[name] else before[name] for name in KEPT}
