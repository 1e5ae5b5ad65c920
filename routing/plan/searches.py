"""The two searches behind one door: by priorities of dispatching, and by the sequence of insertion."""

from __future__ import annotations

from typing import Literal, Protocol

import numpy as np

from routing.plan.climb import Bill, Habits, bill_for, climb
from routing.plan.cost import STEEPER, cost_of
from routing.plan.flat import PERSON, desk_for, flatten
from routing.plan.problem import Plan, Problem
from routing.plan.rearrange import begin_with, rearrange, sequence_for
from routing.plan.redispatch import line_for, route_of
from routing.plan.rules import least_slack, static
from routing.plan.serial import decode, dispatch

Goal = Literal["plain", "convex", "makespan"]

BY_ORDER = Habits(late=0.2, late_forward=0.8, forward=0.5, whole=0.9, rest=0.05, greatest=640.0)
BY_TASK = Habits(late=0.0, late_forward=0.0, forward=0.5, whole=0.0, rest=0.3, greatest=640.0)

HOT_DAYS, COLD_DAYS = 1.0, 0.02
"""Weighted days late a shift may cost at first and at last; of the makespan, a share."""
HOT_SHARE, COLD_SHARE = 0.002, 0.0002


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
        unit = whole / max(charge(problem, plan, "plain"), 1.0)
        spread = (HOT_SHARE * whole, COLD_SHARE * whole) if cost == "makespan" else (HOT_DAYS * unit, COLD_DAYS * unit)
        self.hot, self.cold = (max(each, 1e-6) for each in spread)

    def at(self, done: float) -> float:
        """The heat when that share of the search is done."""
        return self.hot * (self.cold / self.hot) ** done


class ByOrder:
    """Priorities of dispatching, shifted order by order; for tasks that take places only."""

    def __init__(self, problem: Problem, plan: Plan, cost: Goal, seed: int) -> None:
        self.problem, self.heat = problem, Heat(problem, plan, cost)
        keys = [least_slack(problem).first, plan.start.astype(np.float64)]
        plans = [dispatch(problem, static(key)) for key in keys]
        costs = [charge(problem, each, cost) for each in plans]
        first = int(np.argmin(costs))
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


class ByTask:
    """Sequences of insertion, shifted task by task; with people and hooks too."""

    def __init__(self, problem: Problem, plan: Plan, cost: Goal, seed: int) -> None:
        self.problem, self.heat = problem, Heat(problem, plan, cost)
        self.flat = flatten(problem)
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
    """A search by priorities, beginning with that plan or with least slack, whichever is cheaper dispatched."""
    return ByOrder(problem, plan, cost, seed)


def by_task(problem: Problem, plan: Plan, cost: Goal, seed: int) -> Search:
    """A search by sequences, beginning with that plan."""
    return ByTask(problem, plan, cost, seed)


def dice_of(seed: int) -> np.ndarray:
    """Dice to throw, the same for the same seed."""
    return np.array([seed % 1000003 * 1009 + 17], dtype=np.int64)
