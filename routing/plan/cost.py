"""What a plan costs: late orders, by weight."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from routing.plan.problem import Plan, Problem, Ticks

Cost = Literal["plain", "convex"]

STEEPER = {"plain": 0.0, "convex": 0.2}
"""How much each day late makes the next one dearer."""


def ship_ticks(problem: Problem, plan: Plan) -> Ticks:
    """The end of the last task of each order; its release where it has none."""
    ships = problem.work.release.copy()
    np.maximum.at(ships, problem.work.order, plan.end)
    return ships


def days_late(problem: Problem, plan: Plan) -> NDArray[np.float64]:
    """Working days each order ships after its due tick; 0 where it keeps it."""
    late = ship_ticks(problem, plan).astype(np.int64) - problem.work.due
    return np.maximum(late, 0) / problem.axis.ticks_a_day


def weighted_tardiness(problem: Problem, plan: Plan) -> float:
    """Sum of weight x days late, in weighted working days."""
    return cost_of(problem, plan, "plain")


def cost_of(problem: Problem, plan: Plan, cost: Cost) -> float:
    """Sum of weight x (T + s T^2 / day) over the orders, T in working days; s is 0 for plain, 0.2 for convex."""
    late = days_late(problem, plan)
    return float(np.sum(problem.work.weight * (late + STEEPER[cost] * late * late)))
