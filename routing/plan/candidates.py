"""The plan to begin with: each rule tried, the cheapest kept."""

from __future__ import annotations

from collections.abc import Iterator

from routing.plan.cost import Cost, cost_of
from routing.plan.problem import Plan, PlanRefused, Problem
from routing.plan.queues import Key
from routing.plan.rules import critical_ratio, earliest_due, first_come, least_slack, urgency
from routing.plan.serial import dispatch

PATIENCE = (2.0, 20.0)
"""Over how many average tasks urgency fades; which is better depends on how late the backlog is already."""


def cheapest_by_rule(problem: Problem, cost: Cost) -> Plan:
    """The cheapest of the plans the rules make; raises PlanRefused where none of them can place every task."""
    plans: list[Plan] = []
    refusals: list[PlanRefused] = []
    for key in keys(problem):
        try:
            plans.append(dispatch(problem, key))
        except PlanRefused as refused:
            refusals.append(refused)
    if not plans:
        raise refusals[0]
    return min(plans, key=lambda plan: cost_of(problem, plan, cost))


def keys(problem: Problem) -> Iterator[Key]:
    """The keys of all rules, the safest first."""
    for rule in (least_slack, critical_ratio, earliest_due, first_come):
        yield rule(problem)
    for patience in PATIENCE:
        yield urgency(problem, patience)
