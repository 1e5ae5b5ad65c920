"""Shifting orders in the priorities of dispatching, by little and by much, and keeping what makes a plan cheaper."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from routing.plan.compiled import compiled
from routing.plan.line import COUNT, LEFT, TRY, Line, Route
from routing.plan.problem import Problem, Ticks
from routing.plan.redispatch import end_now, first_turn, keep, replay

WHOLE, REST, ONE = range(3)
LEHMER, MERSENNE = 48271, 2147483647


class Bill(NamedTuple):
    """What a plan at hand costs, order by order.

    ``begin``: first task of each order, then their number; ``due``, ``weight``, ``cost`` of each; ``late``: the late
    orders, ``count[0]`` of them; ``seen``: the try an order was counted in; ``before``: keys before the shift;
    ``day``: ticks of a day; ``steeper``: how much each day late makes the next one dearer.
    """

    order: Ticks
    begin: Ticks
    due: NDArray[np.float64]
    weight: NDArray[np.float64]
    cost: NDArray[np.float64]
    late: Ticks
    count: NDArray[np.int64]
    seen: NDArray[np.int64]
    before: NDArray[np.float64]
    day: float
    steeper: float


class Habits(NamedTuple):
    """How shifts are chosen: shares of late orders and of shifts to the front (late orders, others); shares of whole
    orders and of the rest of an order from one task on; the greatest shift in ticks."""

    late: float
    late_forward: float
    forward: float
    whole: float
    rest: float
    greatest: float


def bill_for(problem: Problem, end: Ticks, steeper: float) -> Bill:
    """The bill of that plan."""
    work = problem.work
    orders = len(work.due)
    begin = np.searchsorted(work.order, np.arange(orders + 1)).astype(np.int32)
    bill = Bill(
        order=work.order,
        begin=begin,
        due=work.due.astype(np.float64),
        weight=work.weight,
        cost=np.zeros(orders),
        late=np.zeros(orders, dtype=np.int32),
        count=np.zeros(1, dtype=np.int64),
        seen=np.zeros(orders, dtype=np.int64),
        before=np.zeros(int(np.diff(begin).max(initial=0))),
        day=float(problem.axis.ticks_a_day),
        steeper=steeper,
    )
    ships = work.release.astype(np.int64)
    np.maximum.at(ships, work.order, end)
    for order in range(orders):
        bill.cost[order] = price(bill, order, int(ships[order]))
    note_late(bill)
    return bill


@compiled
def price(bill: Bill, order: int, ships: int) -> float:
    """What the order costs if it ships at that tick."""
    late = (ships - bill.due[order]) / bill.day
    return bill.weight[order] * (late + bill.steeper * late * late) if late > 0 else 0.0


@compiled
def note_late(bill: Bill) -> None:
    """Write down the late orders."""
    bill.count[0] = 0
    for order in range(len(bill.cost)):
        if bill.cost[order] > 0:
            bill.late[bill.count[0]] = order
            bill.count[0] += 1


@compiled
def chance(dice: NDArray[np.int64]) -> float:
    """A number from 0 to below 1. **Source**: the minimal standard generator (Park and Miller 1988; 48271)."""
    dice[0] = dice[0] * LEHMER % MERSENNE
    return (dice[0] - 1) / MERSENNE


@compiled
def new_price(bill: Bill, line: Line, order: int) -> float:
    """What the order costs in the trial."""
    ships = 0
    for i in range(bill.begin[order], bill.begin[order + 1]):
        ships = max(ships, end_now(line, i))
    return price(bill, order, ships)


@compiled
def difference(route: Route, line: Line, bill: Bill) -> float:
    """What the trial costs more than the plan at hand."""
    more = 0.0
    for k in range(line.now[COUNT]):
        i = line.trail[k]
        order = bill.order[i]
        ships = line.new_start[i] != line.start[i] and route.then_ptr[i] == route.then_ptr[i + 1]
        if ships and bill.seen[order] != line.now[TRY]:
            bill.seen[order] = line.now[TRY]
            more += new_price(bill, line, order) - bill.cost[order]
    return more


@compiled
def shift(line: Line, begin: int, end: int, from_tick: int, by: float) -> None:
    """Shift the keys of those tasks that start at that tick or later."""
    for i in range(begin, end):
        if line.start[i] >= from_tick:
            line.key[i] += by


@compiled
def turned(route: Route, line: Line, bill: Bill, begin: int, end: int) -> int:
    """The first tick the changed keys of that stretch of tasks turn, T for none; marks what has to be settled."""
    first = len(line.first) - 1
    line.now[LEFT] = 0
    for i in range(begin, end):
        key = line.key[i]
        line.key[i] = bill.before[i - begin]
        tick = first_turn(route, line, i, key) if key != line.key[i] else len(line.first) - 1
        bill.before[i - begin], line.key[i] = line.key[i], key
        if tick < len(line.first) - 1:
            line.moved[i] = line.now[TRY] + 1
            line.now[LEFT] += 1
            first = min(first, tick)
    return first


@compiled
def choose(line: Line, bill: Bill, habits: Habits, dice: NDArray[np.int64]) -> int:
    """Shift the keys of one order, or some of them; returns the order."""
    order, forward = int(chance(dice) * len(bill.cost)), habits.forward
    if bill.count[0] > 0 and chance(dice) < habits.late:
        order, forward = bill.late[int(chance(dice) * bill.count[0])], habits.late_forward
    by = np.exp(chance(dice) * np.log(habits.greatest))
    if chance(dice) < forward:
        by = -by
    begin, end = bill.begin[order], bill.begin[order + 1]
    for i in range(begin, end):
        bill.before[i - begin] = line.key[i]
    what, i = chance(dice), begin + int(chance(dice) * (end - begin))
    if what < habits.whole:
        shift(line, begin, end, 0, by)
    elif what < habits.whole + habits.rest:
        shift(line, begin, end, line.start[i], by)
    else:
        line.key[i] += by
    return order


@compiled
def climb(
    route: Route, line: Line, bill: Bill, habits: Habits, dice: NDArray[np.int64], tries: int, heat: float
) -> int:
    """Try that many shifts; keep each that costs nothing, or little for the heat (simulated annealing).

    Returns how many tasks were settled. **Source**: Kirkpatrick, Gelatt and Vecchi 1983.
    """
    settled = 0
    for _ in range(tries):
        order = choose(line, bill, habits, dice)
        begin, end = bill.begin[order], bill.begin[order + 1]
        tick = turned(route, line, bill, begin, end)
        if tick >= len(line.first) - 1:
            continue
        whole = replay(route, line, tick)
        settled += line.now[COUNT]
        more = difference(route, line, bill)
        if whole and more <= -heat * np.log(max(chance(dice), 1e-9)):
            take_over(route, line, bill)
        else:
            for i in range(begin, end):
                line.key[i] = bill.before[i - begin]
    return settled


@compiled
def take_over(route: Route, line: Line, bill: Bill) -> None:
    """The trial becomes the plan at hand, and the bill is written anew where it changed."""
    changed = False
    for k in range(line.now[COUNT]):
        order = bill.order[line.trail[k]]
        if bill.seen[order] == line.now[TRY]:
            cost = new_price(bill, line, order)
            changed = changed or (cost > 0) != (bill.cost[order] > 0)
            bill.cost[order] = cost
            bill.seen[order] = 0
    keep(route, line)
    if changed:
        note_late(bill)
