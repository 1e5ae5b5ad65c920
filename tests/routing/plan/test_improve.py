"""The search, against published job shops with proven optima, and small backlogs an exact model solved.

Job shops: Fisher and Thompson 1963 and Lawrence 1984, in ``tests/reference/job_shops.json`` with their source.
"""

from __future__ import annotations

import json

import numpy as np
import pytest

from routing.plan.candidates import cheapest_by_rule
from routing.plan.checker import violations
from routing.plan.climb import bill_for, climb
from routing.plan.cost import cost_of
from routing.plan.improve import improve
from routing.plan.line import is_simple, line_for, route_of
from routing.plan.problem import Axis, Capacity, Plan, Problem, Work
from routing.plan.rules import least_slack, static
from routing.plan.searches import BY_ORDER, dice_of
from routing.plan.serial import dispatch
from tests.routing.plan.invented import REFERENCE, SMALL, backlog

SHOPS = json.loads((REFERENCE / "job_shops.json").read_text())["instances"]
WITHIN = {"ft06": 0.0, "la01": 0.0, "la06": 0.0, "ft10": 0.08, "ft20": 0.08}
TRIES = {"ft06": 3000, "la01": 20000, "la06": 10000, "ft10": 10000, "ft20": 10000}
NEAR_OPTIMUM = 0.07


def job_shop(name: str) -> tuple[Problem, int]:
    """One long day, one place a machine; and the proven least makespan."""
    machines, durations = (np.array(SHOPS[name][key]) for key in ("machines", "durations"))
    jobs, steps = machines.shape
    length = int(durations.sum())
    begins = 15 * np.arange(length)
    first = np.arange(jobs * steps) % steps == 0
    nothing = np.zeros(jobs, dtype=int)
    work = Work(
        order=np.repeat(np.arange(jobs), steps),
        station=machines.ravel(),
        ticks=durations.ravel(),
        one_day=np.zeros(jobs * steps, dtype=bool),
        earliest=np.zeros(jobs * steps),
        after_ptr=np.concatenate(([0], np.cumsum(~first))),
        after=np.flatnonzero(~first) - 1,
        lag=np.zeros(jobs * (steps - 1)),
        lag_minutes=[0],
        release=nothing,
        due=nothing,
        weight=np.ones(jobs),
    )
    places = np.ones((machines.max() + 1, length), dtype=np.int16)
    axis = Axis(begins, begins + 15, np.zeros(length), length)
    return Problem(axis, Capacity.without_people(places), work).check(), SHOPS[name]["optimum"]


@pytest.mark.parametrize("name", WITHIN)
def test_published_job_shops_are_solved_to_the_optimum_or_near(name: str) -> None:
    problem, optimum = job_shop(name)
    plan = improve(problem, iterations=TRIES[name], cost="makespan")
    assert violations(problem, plan) == []
    assert optimum <= plan.end.max() <= optimum * (1 + WITHIN[name])


@pytest.mark.parametrize("name", SMALL)
def test_small_backlogs_come_near_the_proven_optimum_and_never_below(name: str) -> None:
    problem, given = backlog(name)
    plan = improve(problem, iterations=20000)
    assert violations(problem, plan) == []
    cost = cost_of(problem, plan, "plain")
    assert given["proven_optimum"] - 0.05 <= cost <= given["proven_optimum"] * (1 + NEAR_OPTIMUM)


@pytest.mark.parametrize("cost", ["plain", "convex"])
def test_a_backlog_gets_cheaper_than_by_any_rule(cost: str) -> None:
    problem, _ = backlog("backlog-50.json.gz")
    plan = improve(problem, iterations=3000, cost=cost)
    assert violations(problem, plan) == []
    assert cost_of(problem, plan, cost) < 0.95 * cost_of(problem, cheapest_by_rule(problem, cost), cost)


def test_the_same_seed_and_iterations_give_the_same_plan() -> None:
    problem, _ = backlog(SMALL[0])
    one, same, other = (improve(problem, iterations=200, seed=seed).start for seed in (5, 5, 6))
    assert np.array_equal(one, same)
    assert not np.array_equal(one, other)


def test_a_plan_given_is_never_made_dearer() -> None:
    problem, _ = backlog(SMALL[0])
    good = improve(problem, iterations=2000, seed=3)
    again = improve(problem, start=good, iterations=20, seed=4)
    assert cost_of(problem, again, "plain") <= cost_of(problem, good, "plain")


def test_it_stops_when_asked_and_tells_how_far_it_is() -> None:
    problem, _ = backlog(SMALL[0])
    told: list[tuple[float, float]] = []
    plan = improve(
        problem, seconds=600, progress=lambda share, cost: told.append((share, cost)), should_stop=lambda: len(told) > 2
    )
    assert violations(problem, plan) == []
    assert len(told) == 3
    assert told == sorted(told, key=lambda each: each[0])


def with_people(problem: Problem) -> Problem:
    """The same shop with six people who may work anywhere, one of them at home on every fifth day."""
    stations, ticks = problem.capacity.places.shape
    hands = np.ones((6, ticks), dtype=bool)
    hands[0, problem.axis.day % 5 == 0] = False
    able = np.ones((6, stations), dtype=bool)
    capacity = Capacity(problem.capacity.places, hands, able, np.ones(stations, dtype=bool))
    return Problem(problem.axis, capacity, problem.work).check()


def test_people_are_planned_too_and_frozen_work_stays() -> None:
    given, _ = backlog(SMALL[0])
    problem = with_people(given)
    before = cheapest_by_rule(problem, "convex")
    soon = np.flatnonzero(before.start < 16)
    frozen, persons = np.full(len(problem.work), -1), np.full(len(problem.work), -1)
    frozen[soon], persons[soon] = before.start[soon], before.person[soon]
    work = Work(**vars(problem.work) | {"fixed": frozen, "fixed_person": persons})
    problem = Problem(problem.axis, problem.capacity, work).check()
    plan = improve(problem, iterations=300, cost="convex")
    assert violations(problem, plan) == []
    assert np.array_equal(plan.start[soon], before.start[soon])
    assert cost_of(problem, plan, "convex") < cost_of(problem, cheapest_by_rule(problem, "convex"), "convex")


@pytest.mark.parametrize("frozen_until", [0, 40])
def test_shifted_priorities_give_what_the_dispatcher_gives_by_them(frozen_until: int) -> None:
    problem, _ = backlog("backlog-50.json.gz")
    key = least_slack(problem).first.copy()
    plan = dispatch(problem, static(key))
    fixed = np.where(plan.start < frozen_until, plan.start, -1)
    problem = Problem(problem.axis, problem.capacity, Work(**vars(problem.work) | {"fixed": fixed})).check()
    assert is_simple(problem)
    route, plan = route_of(problem), dispatch(problem, static(key))
    line = line_for(route, key, plan.start)
    bill, dice = bill_for(problem, plan.end, 0.2), dice_of(1)
    for _ in range(25):
        climb(route, line, bill, BY_ORDER, dice, 8, 5.0)
        made: Plan = dispatch(problem, static(line.key))
        assert np.array_equal(line.start, made.start)
        assert np.isclose(bill.cost.sum(), cost_of(problem, made, "convex"))
