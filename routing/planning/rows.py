"""Open work as the database has it: builds, their open tasks as columns, waits that still run, holds; four queries."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from itertools import pairwise
from typing import Any, NamedTuple

from django.db.models import Q, TextField
from django.db.models.functions import Cast

from routing.catalogue import LONGEST_WAIT_H
from routing.models import Build, Hold, Task, TaskState

_TASK = (
    "pk", "build_id", "position", "operation", "station_id", "low_h", "usual_h", "high_h", "wait_h", "state",
    "ready_at", "started_at", "touched_s", "person_id",
)  # fmt: skip

WAIT_STEPS_H = (0, 12, 24, 48, 72, 96, 120, 168, 240, 336, 504, 1008, LONGEST_WAIT_H)
"""Waits of the operations table, rising; any other lies between two of them."""


class OpenBuild(NamedTuple):
    """A build that is neither finished nor cancelled."""

    pk: int
    batch: int | None
    kind: str
    promise: date | None
    weight: int
    release_date: date | None
    released_at: datetime | None


class Running(NamedTuple):
    """A done task whose wait (cure, rest, somebody's answer) still runs until that moment."""

    build: int
    position: int
    operation: str
    station: int
    until: datetime


class Held(NamedTuple):
    """Why a task is held, and since when."""

    reason: str
    since: datetime


@dataclass(frozen=True)
class OpenWork:
    """``task`` holds one list a column, in the order of builds and positions; ``after`` and ``beyond`` are parsed."""

    builds: list[OpenBuild]
    task: dict[str, list[Any]]
    running: list[Running]
    held: dict[int, Held]

    def __len__(self) -> int:
        return len(self.task["pk"])


def read_open_work(now: datetime) -> OpenWork:
    """Everything that is still to be done; four queries, whatever there is."""
    builds = Build.objects.filter(finished_at=None, cancelled_at=None).order_by("pk").values_list(
        "pk", "batch_id", "kind", "promise", "weight", "release_date", "released_at"
    )  # fmt: skip
    return OpenWork([OpenBuild(*row) for row in builds], _tasks(), _running(now), _held())


def _tasks() -> dict[str, list[Any]]:
    """Lists come as text, for most builds have the same ones and each text is parsed once."""
    rows = Task.objects.open().filter(build__finished_at=None, build__cancelled_at=None).order_by("build", "position")
    rows = rows.annotate(after_text=Cast("after", TextField()), beyond_text=Cast("beyond", TextField()))
    columns = list(zip(*rows.values_list(*_TASK, "after_text", "beyond_text"), strict=True))
    columns = columns or [()] * (len(_TASK) + 2)
    task: dict[str, list[Any]] = {name: list(column) for name, column in zip(_TASK, columns, strict=False)}
    return task | {"after": [_list(text) for text in columns[-2]], "beyond": [_list(text) for text in columns[-1]]}


@lru_cache(maxsize=4096)
def _list(text: str) -> tuple[Any, ...]:
    return tuple(json.loads(text))


def _running(now: datetime) -> list[Running]:
    """The database picks by steps of waiting, which an index can answer; what is over within a step falls out here."""
    still = Q(pk__in=[])
    for least, most in pairwise(WAIT_STEPS_H):
        still |= Q(wait_h__gt=least, wait_h__lte=most, done_at__gt=now - timedelta(hours=most))
    rows = Task.objects.filter(still, state=TaskState.DONE, build__finished_at=None, build__cancelled_at=None)
    columns = ("build_id", "position", "operation", "station_id", "done_at", "wait_h")
    found = (Running(*row[:4], row[4] + timedelta(hours=row[5])) for row in rows.order_by("pk").values_list(*columns))
    return [each for each in found if each.until > now]


def _held() -> dict[int, Held]:
    rows = Hold.objects.filter(lifted_at=None, task__build__finished_at=None, task__build__cancelled_at=None)
    return {task: Held(reason, at) for task, reason, at in rows.values_list("task_id", "reason", "placed_at")}
