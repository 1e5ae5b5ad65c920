"""The checker finds each kind of broken plan, and says what is wrong with it."""

from __future__ import annotations

import numpy as np
import pytest

from routing.plan.checker import violations
from routing.plan.problem import Plan
from routing.plan.rules import least_slack
from routing.plan.serial import dispatch
from tests.routing.plan.invented import DAY, always, random_problem, shop_with

AWAY = [True] * 8 + [False] * 8 + [True] * 64
TWO = [{"station": 0, "ticks": 2}, {"station": 0, "ticks": 2, "after": [(0, DAY)]}]


def plan_of(*rows: tuple[int, int, int]) -> Plan:
    return Plan(*zip(*rows, strict=True))


BROKEN = {
    "2 at station 0 with 1 places": (
        shop_with([{"station": 0, "ticks": 2}] * 2), [(0, 2, -1), (1, 3, -1)]),
    "person 0 is on task 0 and task 1 at once": (
        shop_with([{"station": 0, "ticks": 2}, {"station": 1, "ticks": 2}], [always()]), [(0, 2, 0), (1, 3, 0)]),
    "starts before task 0 and its wait of 1440 minutes": (shop_with(TWO), [(0, 2, -1), (9, 11, -1)]),
    "starts at 3, before it may": (shop_with([{"station": 0, "ticks": 2, "earliest": 4}]), [(3, 5, -1)]),
    "must lie in one day": (shop_with([{"station": 0, "ticks": 2, "one_day": True}]), [(7, 9, -1)]),
    "must not be paused": (
        shop_with([{"station": 0, "ticks": 2, "one_day": True}], [[True, False, True, True] * 20]), [(0, 3, 0)]),
    "takes 4 ticks, but 3 are worked": (shop_with([{"station": 0, "ticks": 4}]), [(0, 3, -1)]),
    "takes 4 ticks, but 2 are worked": (shop_with([{"station": 0, "ticks": 4}], [AWAY]), [(6, 10, 0)]),
    "starts when person 0 is away": (shop_with([{"station": 0, "ticks": 1}], [AWAY]), [(15, 17, 0)]),
    "ends when its person is away": (shop_with([{"station": 0, "ticks": 1}], [AWAY]), [(7, 9, 0)]),
    "needs a person": (shop_with([{"station": 0, "ticks": 1}], [always()]), [(0, 1, -1)]),
    "frozen at 2 with -1, but was moved": (shop_with([{"station": 0, "ticks": 1, "fixed": 2}]), [(3, 4, -1)]),
    "task 1 among them": (
        shop_with([{"station": 0, "ticks": 3, "fixed": 2}, {"station": 0, "ticks": 3}]), [(2, 5, -1), (4, 7, -1)]),
    "2 at station 1 with 1 places": (
        shop_with([{"station": 0, "ticks": 1, "rests": DAY, "rest_at": 1}] * 2), [(0, 1, -1), (8, 9, -1)]),
    "lies outside the horizon": (shop_with([{"station": 0, "ticks": 2}]), [(79, 81, -1)]),
    "person 4, who does not exist": (shop_with([{"station": 0, "ticks": 2}]), [(0, 2, 4)]),
    "has not one start": (shop_with(TWO), [(0, 2, -1)]),
}  # fmt: skip


@pytest.mark.parametrize("told", BROKEN)
def test_a_broken_plan_is_told(told):
    problem, rows = BROKEN[told]
    found = violations(problem, plan_of(*rows))
    assert any(told in text for text in found), found


def test_only_that_is_told():
    assert violations(shop_with(TWO), plan_of((0, 2, -1), (9, 11, -1))) == [
        "task 1 starts before task 0 and its wait of 1440 minutes are over"
    ]
    assert violations(shop_with(TWO), plan_of((0, 2, -1), (10, 12, -1))) == []


def test_who_may_not_work_there():
    problem = shop_with([{"station": 0, "ticks": 1}], [always(), always()])
    problem.capacity.able[1, 0] = False
    assert violations(problem, plan_of((0, 1, 1))) == ["task 0: person 1 may not work at station 0"]


def test_frozen_work_may_collide_with_frozen_work():
    twice = [{"station": 0, "ticks": 3, "fixed": 2, "fixed_person": 0}] * 2
    assert violations(shop_with(twice, [always()]), plan_of((2, 5, 0), (2, 5, 0))) == []


@pytest.mark.parametrize("seed", range(20))
def test_a_random_plan_pulled_forward_breaks(seed):
    """Everything a tick earlier: somewhere a place, a person, a predecessor or the morning is in the way."""
    problem = random_problem(seed)
    plan = dispatch(problem, least_slack(problem))
    shifted = Plan(plan.start - (plan.start > 0), plan.end - (plan.start > 0), plan.person)
    assert violations(problem, plan) == []
    assert not np.array_equal(shifted.start, plan.start)
    assert violations(problem, shifted) != []
