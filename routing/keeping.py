"""How many parts made ahead to keep, and what a build gains by taking one."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime, timedelta
from math import exp, lgamma, log

from routing.dates import earliest_dates
from routing.expand import ExpandedTask
from routing.workdays import WorkCalendar

MOST_EXPECTED = 10_000.0


def pieces_to_keep(expected: float, service: float) -> int:
    """The fewest pieces that are enough with probability ``service`` for all that are asked for while new ones are
    made, where ``expected`` are asked for in that time on average and each by itself: a Poisson quantile.

    **Source**: base-stock rule for Poisson demand, common practice of inventory control. Raises ``ValueError`` for a
    negative expectation or a service outside 0 to 1.
    """
    if not 0 <= expected <= MOST_EXPECTED or not 0 < service < 1:
        raise ValueError("expected pieces cannot be negative; service lies between 0 and 1")
    pieces, covered = 0, exp(-expected)
    while covered < service and pieces < 2 * MOST_EXPECTED:
        pieces += 1
        covered += exp(pieces * log(expected) - expected - lgamma(pieces + 1))
    return pieces


def days_saved(
    tasks: Sequence[ExpandedTask], calendar: WorkCalendar, start: datetime, covered: Collection[str]
) -> float:
    """Calendar days by which the build's end comes nearer if the covered operations are done and rested at its start,
    nothing else standing in the way; 0 where another chain decides. Raises as ``earliest_dates``."""
    rested = {task.operation: start - timedelta(hours=task.wait_h) for task in tasks if task.operation in covered}
    whole, ahead = (earliest_dates(tasks, calendar, start, finished=done).finish for done in ({}, rested))
    return (whole - ahead) / timedelta(days=1)


def days_to_make(tasks: Sequence[ExpandedTask], calendar: WorkCalendar, start: datetime) -> float:
    """Calendar days until parts begun now may be taken: their work and the last rest. Raises as ``earliest_dates``."""
    dates = earliest_dates(tasks, calendar, start).tasks
    return (max(task.ready for task in dates.values()) - start) / timedelta(days=1)
