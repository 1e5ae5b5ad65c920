"""What the predecessors of a task say about it: not ready, or ready from a moment on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta

from routing.models import Task, TaskState

UNCLAIMED = (TaskState.NOT_READY, TaskState.READY)
Network = Mapping[int, Task]
"""The tasks of one build by position."""


def ready_from(task: Task, network: Network, otherwise: datetime) -> datetime | None:
    """When the last cure or rest before the task is out; None while a predecessor is not done.

    A task without predecessors is ready from ``otherwise``.
    """
    before = [network[position] for position in task.after]
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


def followers(task: Task, network: Network) -> list[Task]:
    """The tasks that come directly after."""
    return [other for other in network.values() if task.position in other.after]


def started(tasks: Iterable[Task]) -> list[Task]:
    """Those of the tasks somebody has already had on the bench."""
    return [task for task in tasks if task.started_at or task.state in (TaskState.ON_BENCH, TaskState.DONE)]
