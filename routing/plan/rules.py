"""Rules of who comes first at a station, as keys of dispatching; all count the waits of the route still ahead."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from routing.plan.compiled import compiled
from routing.plan.problem import Problem, Ticks
from routing.plan.queues import ARRIVAL, RATIO, STATIC, URGENCY, Key

WEEK_MINUTES = 7 * 24 * 60

Reals = NDArray[np.float64]


def tails(problem: Problem) -> Reals:
    """Ticks from each task's start to the end of its order: work and waits of the longest way, without queues.

    A wait counts as many ticks as work on average in that time.
    """
    work, tail = problem.work, problem.work.ticks.astype(np.float64)
    add_tails(work.ticks, work.after_ptr, work.after, work.lag, wait_ticks(problem), tail)
    return tail


@compiled
def add_tails(ticks: Ticks, after_ptr: Ticks, after: Ticks, lag: Ticks, waits: Reals, tail: Reals) -> None:
    """From the last task to the first, let each predecessor's tail reach over its wait and the task's own tail."""
    for i in range(len(ticks) - 1, -1, -1):
        for k in range(after_ptr[i], after_ptr[i + 1]):
            before = after[k]
            tail[before] = max(tail[before], ticks[before] + waits[lag[k]] + tail[i])


def wait_ticks(problem: Problem) -> Reals:
    """The average of working ticks in each wait, over the whole axis."""
    axis = problem.axis
    span = int(axis.ends[-1] - axis.begins[0])
    return problem.work.lag_minutes * (len(axis) / span)


def first_come(problem: Problem) -> Key:
    """Who became ready first."""
    nothing = np.zeros(len(problem.work))
    return Key(ARRIVAL, nothing, nothing, 1.0)


def earliest_due(problem: Problem) -> Key:
    """Whose order is due first. **Source**: Jackson 1955."""
    return static(_due(problem))


def least_slack(problem: Problem) -> Key:
    """Whose order has the least time left beyond its remaining work and waits; that is, who must start first."""
    return static(_due(problem) - tails(problem))


def critical_ratio(problem: Problem) -> Key:
    """Whose time left is the smallest share of the remaining work and waits."""
    return Key(RATIO, _due(problem), np.maximum(tails(problem), 1.0), 1.0)


def urgency(problem: Problem, k: float = 2.0) -> Key:
    """Weight per tick of work, fading with slack over ``k`` average tasks. **Source**: Vepsalainen and Morton 1987."""
    work = problem.work
    ticks = np.maximum(work.ticks, 1).astype(float)
    weight = np.maximum(work.weight[work.order], 1e-9)
    return Key(URGENCY, _due(problem) - tails(problem), -np.log(weight / ticks), k * float(ticks.mean()))


def static(values: Reals) -> Key:
    """A key of fixed values, the least first."""
    return Key(STATIC, np.ascontiguousarray(values, dtype=np.float64), np.zeros(0), 1.0)


def _due(problem: Problem) -> Reals:
    return problem.work.due[problem.work.order].astype(np.float64)


RULES: Mapping[str, Callable[[Problem], Key]] = {
    "first come": first_come,
    "earliest due": earliest_due,
    "least slack": least_slack,
    "critical ratio": critical_ratio,
    "urgency": urgency,
}
