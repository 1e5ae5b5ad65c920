"""What the predecessors of a task say about it: not ready, or ready from a moment on."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db.models import Q

from routing.catalogue import OPERATIONS
from routing.models import Build, Kind, Task, TaskState

UNCLAIMED = (TaskState.NOT_READY, TaskState.READY)
GATES = frozenset(name for row in OPERATIONS if row.per_batch for name in row.after)
"""What rows counted once per batch come directly after, on the instruments too."""


class Network:
    """Tasks that wait for one another: those of one build, and for a batch-built one those of its batch.

    Within a build a task names positions, across builds operations: the batch's for an instrument's task, every
    instrument's for a task of the batch.
    """

    def __init__(self, tasks: Iterable[Task], others: Iterable[Task] = ()) -> None:
        self.tasks = list(tasks)
        self.all = [*self.tasks, *others]
        self._by_place = {(task.build_id, task.position): task for task in self.all}

    def before(self, task: Task) -> list[Task]:
        """The tasks it comes directly after."""
        own = [self._by_place[task.build_id, position] for position in task.after]
        return [*own, *(other for other in self.all if _is_beyond(other, task))] if task.beyond else own

    def followers(self, task: Task) -> list[Task]:
        """The tasks that come directly after it."""
        return [other for other in self.all if _is_own(task, other) or _is_beyond(task, other)]


def beyond(build: Build) -> list[Task]:
    """The tasks of other builds that those of this one wait for or hold up; one query, none outside a batch."""
    if build.batch_id is None:
        return []
    others = Task.objects.filter(build__batch=build.batch_id, build__cancelled_at=None).exclude(build=build)
    if build.kind == Kind.INSTRUMENT:
        others = others.filter(Q(build__kind=Kind.BATCH) | Q(operation__in=GATES))
    return list(others)


def _is_own(task: Task, later: Task) -> bool:
    return later.build_id == task.build_id and task.position in later.after


def _is_beyond(task: Task, later: Task) -> bool:
    return later.build_id != task.build_id and task.operation in later.beyond


def ready_from(task: Task, network: Network, otherwise: datetime) -> datetime | None:
    """When the last cure or rest before the task is out; None while a predecessor is not done.

    A task without predecessors is ready from ``otherwise``.
    """
    before = network.before(task)
    if any(done.state != TaskState.DONE for done in before):
        return None
    return max((done.done_at + timedelta(hours=done.wait_h) for done in before), default=otherwise)


def settle(task: Task, network: Network, otherwise: datetime) -> bool:
    """Give a task nobody holds or works on the state its predecessors ask for; whether that changed it."""
    if task.state not in UNCLAIMED:
        return False
    was = (task.state, task.ready_at)
    task.ready_at = ready_from(task, network, otherwise)
    task.state = TaskState.READY if task.ready_at else TaskState.NOT_READY
    return was != (task.state, task.ready_at)


def started(tasks: Iterable[Task]) -> list[Task]:
    """Those of the tasks somebody has already had on the bench."""
    return [task for task in tasks if task.started_at or task.state in (TaskState.ON_BENCH, TaskState.DONE)]
