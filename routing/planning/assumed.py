"""What the plan assumes where nobody knows a date: when a hold is lifted, when a silent customer answers.

Both are taken to last as long again as they have lasted, at least two days and at most thirty. That is the only
guess that needs no record of its own; each is listed with its reason, so that a person can answer it with a date.
**Source**: no source; a choice of ours, written down among the decisions.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from routing.catalogue import OPERATIONS
from routing.models import TaskState
from routing.planning.rows import OpenWork

LEAST, MOST = timedelta(days=2), timedelta(days=30)
CUSTOMER_DECIDES = frozenset(row.name for row in OPERATIONS if row.customer_decides)


@dataclass(frozen=True)
class Assumed:
    """A task is planned not before a moment nobody has named: it is held, or waits for its customer."""

    task: int
    build: int
    operation: str
    why: Literal["held", "customer"]
    reason: str
    since: datetime
    until: datetime


def as_long_again(since: datetime, now: datetime) -> datetime:
    """Until when something lasts that has lasted since then."""
    return now + min(max(now - since, LEAST), MOST)


def assumptions(work: OpenWork, now: datetime) -> Iterator[tuple[int, Assumed]]:
    """Row of each task that waits for a person to make up their mind, with what is assumed."""
    task = work.task
    for row, (pk, state, operation) in enumerate(zip(task["pk"], task["state"], task["operation"], strict=True)):
        known = (pk, task["build_id"][row], operation)
        if state == TaskState.HELD:
            held = work.held.get(pk)
            since, reason = (held.since, held.reason) if held else (now, "")
            yield row, Assumed(*known, "held", reason, since, as_long_again(since, now))
        elif state == TaskState.READY and operation in CUSTOMER_DECIDES:
            since = task["ready_at"][row]
            if now - since > timedelta(hours=task["wait_h"][row]):
                yield row, Assumed(*known, "customer", "", since, as_long_again(since, now))
