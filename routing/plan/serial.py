"""Where dates come from, and nowhere else: tasks put in place by a sequence or by what comes first, on working time."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from routing.plan.flat import ONE_DAY, STATION, TICKS, Flat, desk_for, flatten, plan_on
from routing.plan.kernels import insert_kernel, ready_tick
from routing.plan.problem import NONE, Plan, PlanRefused, Problem, Ticks
from routing.plan.queues import Key, dispatch_kernel, queues_for


def insert(problem: Problem, sequence: Sequence[int] | Ticks, persons: Ticks | None = None) -> Plan:
    """Each task of the sequence in turn at the earliest place left, gaps included.

    With people: with the person who is done first, or the one ``persons`` names for the task. Frozen work keeps its
    place, wherever it stands in the sequence. Raises PlanRefused, naming the task, where the sequence is no
    permutation of the tasks, puts one before a predecessor, or a task has no place on the horizon.
    **Source**: the serial schedule-generation scheme of project scheduling (Kelley 1963).
    """
    flat, order = flatten(problem), np.array(sequence, dtype=np.int32)
    if not np.array_equal(np.sort(order), np.arange(len(problem.work))):
        raise PlanRefused.one("sequence", "not-all", "must hold every task exactly once")
    desk = desk_for(flat)
    kept = np.full(len(order), NONE, dtype=np.int32) if persons is None else np.array(persons, dtype=np.int32)
    require_placed(flat, desk.plan, insert_kernel(flat, desk, order, kept))
    return plan_on(desk)


def decode(problem: Problem, plan: Plan) -> Plan:
    """The plan made anew by its own order of starts, with its own people: no task later, gaps closed.

    **Source**: a feasible plan decoded this way never moves a task later (Sprecher, Kolisch and Drexl 1995, for
    serial schemes and fixed durations; here also for people, who are kept).
    """
    return insert(problem, np.lexsort((np.arange(len(plan.start)), plan.start)), plan.person)


def dispatch(problem: Problem, key: Key) -> Plan:
    """Time goes by; of all that could start now, the one with the least key starts, if it can be done from now on.

    Keys are made in ``rules.py``. With people: with the person who is done first. Raises PlanRefused, naming a task,
    where one has no place on the horizon.
    **Source**: the parallel schedule-generation scheme of project scheduling (Bedworth and Bailey 1982).
    """
    flat = flatten(problem)
    desk = desk_for(flat)
    require_placed(flat, desk.plan, dispatch_kernel(flat, desk, queues_for(flat), key))
    return plan_on(desk)


def require_placed(flat: Flat, plan: Ticks, failing: int) -> None:
    """Raises PlanRefused with what became of the failing task of a kernel; -1: none failed."""
    if failing != NONE:
        raise PlanRefused.for_task(int(failing), *_why(flat, plan, int(failing)))


def _why(flat: Flat, plan: Ticks, task: int) -> tuple[str, str]:
    ready, horizon = ready_tick(flat, plan, task), flat.free.shape[1]
    if ready < 0:
        return "order", "stands before a task it comes after"
    if ready >= horizon:
        return "no-place", "could only start after the horizon: give a longer one"
    takes = f"{flat.tasks[task, TICKS]} ticks{' in one day' if flat.tasks[task, ONE_DAY] else ''}"
    where = f"at station {flat.tasks[task, STATION]}"
    return "no-place", f"finds no place for {takes} {where} from tick {ready} to the horizon at {horizon}"
