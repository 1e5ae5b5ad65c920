"""A better plan within a time budget: orders and tasks shifted in line, the date-maker asked for the dates."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor, ThreadPoolExecutor
from functools import partial

from routing.plan.budget import Budget, Progress, Stop
from routing.plan.candidates import cheapest_by_rule
from routing.plan.line import is_simple
from routing.plan.problem import Plan, Problem
from routing.plan.searches import Goal, Search, by_order, by_task, charge

TINY, SMALL = 400, 1500
"""Tasks up to which sequences of insertion are searched only, each search for itself, and after priorities."""
SEARCHERS = 2
EXCHANGES = 12

Make = Callable[[Problem, Plan, Goal, int], Search]


def improve(
    problem: Problem,
    *,
    start: Plan | None = None,
    seconds: float | None = None,
    iterations: int | None = None,
    cost: Goal = "plain",
    seed: int = 1,
    progress: Progress | None = None,
    should_stop: Stop | None = None,
) -> Plan:
    """The cheapest plan found; never dearer than ``start`` nor than the best simple rule.

    Ends ``seconds`` of wall clock after the rules have made their plans and the loops are compiled, after
    ``iterations`` shifts in each search, or when ``should_stop`` says so;
    the same seed and iterations give the same plan. ``progress`` is told the share done and the cost so far. Cost
    ``makespan`` counts the tick at which all work is over. Raises PlanRefused where no rule can place every task.
    """
    best = cheapest_by_rule(problem, "convex" if cost == "convex" else "plain")
    best = cheaper(problem, cost, best, start)
    stages = _stages(problem, cost)
    for make, _ in stages:
        make(problem, best, cost, seed).go(0, 0.0)
    budget = Budget(seconds, iterations, progress, should_stop)
    for make, until in stages:
        if charge(problem, best, cost) > 0 and not budget.is_over(until):
            searches = [make(problem, best, cost, SEARCHERS * seed + k) for k in range(SEARCHERS)]
            best = cheaper(problem, cost, best, _search(searches, budget, until, len(problem.work) > TINY))
    return best


def cheaper(problem: Problem, cost: Goal, one: Plan, other: Plan | None) -> Plan:
    """The cheaper of two plans; the first where they cost the same."""
    if other is None or charge(problem, other, cost) >= charge(problem, one, cost):
        return one
    return other


def _stages(problem: Problem, cost: Goal) -> list[tuple[Make, float]]:
    """Searches one after another, each with the share of the budget at which it ends."""
    if cost == "makespan" or len(problem.work) <= TINY or not is_simple(problem):
        return [(by_task, 1.0)]
    if len(problem.work) > SMALL:
        return [(by_order, 1.0)]
    return [(by_order, 0.4), (by_task, 1.0)]


def _search(searches: Sequence[Search], budget: Budget, until: float, together: bool) -> Plan:
    """Let the searches run side by side; together, the worst goes on from where the best is now and then."""
    begun, exchanged = budget.share(), 0
    with ThreadPoolExecutor(len(searches)) as pool:
        while not budget.is_over(until):
            done = (budget.share() - begun) / (until - begun)
            budget.measure(partial(_round, pool, searches, done))
            if together and done * EXCHANGES > exchanged + 1:
                exchanged += 1
                _exchange(searches)
            budget.tell(min(search.best_cost for search in searches))
    return min(searches, key=lambda search: search.best_cost).plan()


def _round(pool: Executor, searches: Sequence[Search], done: float, tries: int) -> None:
    for running in [pool.submit(search.go, tries, done) for search in searches]:
        running.result()


def _exchange(searches: Sequence[Search]) -> None:
    ranked = sorted(searches, key=lambda search: search.cost())
    ranked[-1].follow(ranked[0])
