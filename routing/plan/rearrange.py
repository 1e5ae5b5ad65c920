"""Shifting tasks in the sequence of insertion, and keeping what makes a plan cheaper; people and hooks included."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from routing.plan.climb import Bill, Habits, chance, price
from routing.plan.compiled import compiled
from routing.plan.flat import AFTER, END, START, Desk, Flat
from routing.plan.kernels import insert_kernel
from routing.plan.problem import Ticks


class Sequence(NamedTuple):
    """The plan at hand, the cheapest plan met, and the sequence tried next.

    ``plan``, ``best``: rows as on a desk; ``rank``: twice the start of each task, shifted ones between others;
    ``listed``: tasks by rank, ``trial``: the sequence tried; ``free_person``: nobody named for any task; ``ships``;
    ``total``: cost of the plan at hand, of the cheapest, 1 where the end of all work counts instead of late orders.
    """

    plan: Ticks
    best: Ticks
    rank: NDArray[np.int64]
    listed: Ticks
    trial: Ticks
    free_person: Ticks
    ships: Ticks
    total: NDArray[np.float64]


def sequence_for(plan: Ticks, orders: int, ends_count: bool) -> Sequence:
    """A sequence by the starts of a plan (rows as on a desk); its cost is counted by ``begin_with``."""
    tasks = plan.shape[1]
    return Sequence(
        plan=plan.copy(),
        best=plan.copy(),
        rank=np.zeros(tasks, dtype=np.int64),
        listed=np.arange(tasks, dtype=np.int32),
        trial=np.zeros(tasks, dtype=np.int32),
        free_person=np.full(tasks, -1, dtype=np.int32),
        ships=np.zeros(orders, dtype=np.int32),
        total=np.array([0.0, 0.0, float(ends_count)]),
    )


@compiled
def copy_rows(to: Ticks, rows: Ticks) -> None:
    """Copy a plan, row by row."""
    for row in range(rows.shape[0]):
        for i in range(rows.shape[1]):
            to[row, i] = rows[row, i]


@compiled
def begin_with(sequence: Sequence, bill: Bill, plan: Ticks) -> None:
    """Take that plan in hand."""
    copy_rows(sequence.plan, plan)
    copy_rows(sequence.best, plan)
    sequence.total[0] = total_of(sequence, bill, plan)
    sequence.total[1] = sequence.total[0]
    by_start(sequence)


@compiled
def total_of(sequence: Sequence, bill: Bill, plan: Ticks) -> float:
    """What a plan costs."""
    sequence.ships[:] = 0
    last = 0
    for i in range(plan.shape[1]):
        last = max(last, plan[END, i])
        sequence.ships[bill.order[i]] = max(sequence.ships[bill.order[i]], plan[END, i])
    if sequence.total[2] > 0:
        return last
    total = 0.0
    for order in range(len(sequence.ships)):
        total += price(bill, order, sequence.ships[order])
    return total


@compiled
def by_start(sequence: Sequence) -> None:
    """Rank and list the tasks by their starts in the plan at hand."""
    for i in range(len(sequence.rank)):
        sequence.rank[i] = 2 * sequence.plan[START, i]
    in_order(sequence.listed, sequence.rank)


@compiled
def in_order(listed: Ticks, rank: NDArray[np.int64]) -> None:
    """Sort a list that nearly is sorted, by rank, then number."""
    for k in range(1, len(listed)):
        i, at = listed[k], k
        while at > 0:
            j = listed[at - 1]
            if rank[j] < rank[i] or (rank[j] == rank[i] and j < i):
                break
            listed[at] = j
            at -= 1
        listed[at] = i


@compiled
def least_rank(flat: Flat, sequence: Sequence, i: int) -> int:
    """The rank of the last predecessor: a task comes no earlier in a sequence."""
    least = 0
    for k in range(flat.tasks[i, AFTER], flat.tasks[i + 1, AFTER]):
        least = max(least, sequence.rank[flat.after[k, 0]])
    return least


@compiled
def choose(flat: Flat, sequence: Sequence, bill: Bill, habits: Habits, dice: NDArray[np.int64]) -> None:
    """Shift the rest of an order from one task on, or that task only, in the ranks; followers make way."""
    order = int(chance(dice) * (len(bill.begin) - 1))
    begin, end = bill.begin[order], bill.begin[order + 1]
    if begin == end:
        return
    by = int(np.exp(chance(dice) * np.log(habits.greatest)))
    forward = chance(dice) < habits.forward
    chosen = begin + int(chance(dice) * (end - begin))
    rest = chance(dice) < habits.rest
    since = sequence.plan[START, chosen]
    for i in range(begin, end):
        if i == chosen or (rest and sequence.plan[START, i] >= since):
            sequence.rank[i] += -2 * by - 1 if forward else 2 * by + 1
        sequence.rank[i] = max(sequence.rank[i], least_rank(flat, sequence, i))


@compiled
def rearrange(
    flat: Flat,
    desk: Desk,
    sequence: Sequence,
    bill: Bill,
    habits: Habits,
    dice: NDArray[np.int64],
    tries: int,
    heat: float,
) -> None:
    """Try that many shifts; keep each that costs nothing, or little for the heat (simulated annealing).

    **Source**: Kirkpatrick, Gelatt and Vecchi 1983.
    """
    for _ in range(tries):
        choose(flat, sequence, bill, habits, dice)
        for k in range(len(sequence.trial)):
            sequence.trial[k] = sequence.listed[k]
        in_order(sequence.trial, sequence.rank)
        failing = insert_kernel(flat, desk, sequence.trial, sequence.free_person)
        total = total_of(sequence, bill, desk.plan) if failing < 0 else np.inf
        if total - sequence.total[0] <= -heat * np.log(max(chance(dice), 1e-9)):
            copy_rows(sequence.plan, desk.plan)
            sequence.total[0] = total
            if total < sequence.total[1]:
                copy_rows(sequence.best, desk.plan)
                sequence.total[1] = total
        by_start(sequence)
