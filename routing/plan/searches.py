"""The two searches behind one door: by priorities of dispatching, and by the sequence of insertion."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from routing.plan.climb import Bill, Habits, bill_for, climb
from routing.plan.cost import STEEPER, cost_of, ship_ticks
from routing.plan.flat import PERSON, desk_for, flatten
from routing.plan.line import line_for, route_of
from routing.plan.problem import Plan, Problem
from routing.plan.rearrange import begin_with, rearrange, sequence_for
from routing.plan.rules import least_slack, static
from routing.plan.serial import decode, dispatch

Goal = Literal["plain", "convex", "makespan"]

BY_ORDER = Habits(late=0.2, late_forward=0.8, forward=0.5, whole=0.9, rest=0.05, greatest=640.0)
BY_TASK = Habits(late=0.0, late_forward=0.0, forward=0.5, whole=0.0, rest=0.3, greatest=640.0)

HOT, COLD = 0.3, 0.003
"""What a shift may cost at first and at last, as shares of what an order costs on average."""
HOT_SHARE, COLD_SHARE = 0.002, 0.0002
"""The same as shares of a makespan."""
SPARE_DAYS = 10
MUCH_CHEAPER = 0.75
"""How much cheaper a plan's own starts must be as priorities: they follow a shift less well than slack does."""


class Search(Protocol):
    """A search that goes on in rounds."""

    best_cost: float

    def go(self, tries: int, done: float) -> None:
        """Try that many shifts; ``done``: share of the search behind it, from 0 to 1."""

    def cost(self) -> float:
        """What the plan at hand costs."""

    def follow(self, other: Search) -> None:
        """Go on from where the other one is."""

    def plan(self) -> Plan:
        """The cheapest plan met, by the date-maker."""


def charge(problem: Problem, plan: Plan, cost: Goal) -> float:
    """What the plan costs: weighted days late, or the tick at which all work is over."""
    return float(plan.end.max(initial=0)) if cost == "makespan" else cost_of(problem, plan, cost)


def steepness(cost: Goal) -> float:
    """How much each day late makes the next one dearer."""
    return 0.0 if cost == "makespan" else STEEPER[cost]


class Heat:
    """What a shift may cost, falling from hot to cold while the search goes on."""

    def __init__(self, problem: Problem, plan: Plan, cost: Goal) -> None:
        whole = charge(problem, plan, cost)
        if cost == "makespan":
            self.hot, self.cold = HOT_SHARE * whole, COLD_SHARE * whole
        else:
            each = max(whole / max(len(problem.work.due), 1), 1e-6)
            self.hot, self.cold = HOT * each, COLD * each

    def at(self, done: float) -> float:
        """The heat when that share of the search is done."""
        return self.hot * (self.cold / self.hot) ** done


def priorities(problem: Problem, plan: Plan) -> list[NDArray[np.float64]]:
    """Priorities that lead to such a plan: slack to when it ships each order, slack to the due date, its starts."""
    slack = least_slack(problem).first
    later = (ship_ticks(problem, plan) - problem.work.due)[problem.work.order]
    return [slack + later, slack, plan.start.astype(np.float64)]


class ByOrder:
    """Priorities of dispatching, shifted order by order; for tasks that take places only."""

    def __init__(self, problem: Problem, plan: Plan, cost: Goal, seed: int) -> None:
        self.problem, self.heat = problem, Heat(problem, plan, cost)
        keys = priorities(problem, plan)
        plans = [dispatch(problem, static(key)) for key in keys]
        costs = [charge(problem, each, cost) for each in plans]
        first = int(np.argmin(np.array(costs) / (1, 1, MUCH_CHEAPER)))
        self.route = route_of(problem)
        self.line = line_for(self.route, keys[first], plans[first].start)
        self.bill = bill_for(problem, self.line.end, steepness(cost))
        self.dice = dice_of(seed)
        self.best_key, self.best_cost = keys[first].copy(), costs[first]

    def go(self, tries: int, done: float) -> None:
        climb(self.route, self.line, self.bill, BY_ORDER, self.dice, tries, self.heat.at(done))
        if self.cost() < self.best_cost:
            self.best_cost = self.cost()
            self.best_key[:] = self.line.key

    def cost(self) -> float:
        return float(self.bill.cost.sum())

    def follow(self, other: ByOrder) -> None:
        for name in ("key", "start", "end", "ready", "last", "listed", "at"):
            getattr(self.line, name)[:] = getattr(other.line, name)
        for name in ("cost", "late", "count"):
            getattr(self.bill, name)[:] = getattr(other.bill, name)

    def plan(self) -> Plan:
        return decode(self.problem, dispatch(self.problem, static(self.best_key)))


def shortened(problem: Problem, ends: int) -> Problem:
    """The same work on a horizon that leaves a quarter more than a plan with that end takes: less to write anew."""
    axis, capacity = problem.axis, problem.capacity
    ticks = min(len(axis), ends + ends // 4 + SPARE_DAYS * axis.ticks_a_day)
    return replace(
        problem,
        axis=replace(axis, begins=axis.begins[:ticks], ends=axis.ends[:ticks], day=axis.day[:ticks]),
        capacity=replace(capacity, places=capacity.places[:, :ticks], hands=capacity.hands[:, :ticks]),
    )


class ByTask:
    """Sequences of insertion, shifted task by task; with people and hooks too."""

    def __init__(self, problem: Problem, plan: Plan, cost: Goal, seed: int) -> None:
        self.problem, self.heat = problem, Heat(problem, plan, cost)
        self.flat = flatten(shortened(problem, int(plan.end.max(initial=0))))
        self.desk = desk_for(self.flat)
        self.bill: Bill = bill_for(problem, plan.end, steepness(cost))
        rows = np.array([plan.start, plan.end, plan.person], dtype=np.int32)
        self.sequence = sequence_for(rows, len(problem.work.due), cost == "makespan")
        begin_with(self.sequence, self.bill, rows)
        self.dice = dice_of(seed)
        self.best_cost = float(self.sequence.total[1])

    def go(self, tries: int, done: float) -> None:
        rearrange(self.flat, self.desk, self.sequence, self.bill, BY_TASK, self.dice, tries, self.heat.at(done))
        self.best_cost = float(self.sequence.total[1])

    def cost(self) -> float:
        return float(self.sequence.total[0])

    def follow(self, other: ByTask) -> None:
        for name in ("plan", "rank", "listed"):
            getattr(self.sequence, name)[:] = getattr(other.sequence, name)
        self.sequence.total[0] = other.sequence.total[0]

    def plan(self) -> Plan:
        best = self.sequence.best
        return decode(self.problem, Plan(best[0], best[1], best[PERSON]))


def by_order(problem: Problem, plan: Plan, cost: Goal, seed: int) -> Search:
    """A search by priorities, beginning with those that plan or least slack suggests, whichever is cheapest."""
    return ByOrder(problem, plan, cost, seed)


def by_task(problem: Problem, plan: Plan, cost: Goal, seed: int) -> Search:
    """A search by sequences, beginning with that plan."""
    return ByTask(problem, plan, cost, seed)


def dice_of(seed: int) -> NDArray[np.int64]:
    """Dice to throw, the same for the same seed."""
    return np.array([seed % 1000003 * 1009 + 17], dtype=np.int64)
