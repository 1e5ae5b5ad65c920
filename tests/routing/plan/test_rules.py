"""Rules against what was measured of them elsewhere on the same backlogs, and against proven optima."""

from __future__ import annotations

import numpy as np
import pytest

from routing.plan.candidates import cheapest_by_rule
from routing.plan.checker import violations
from routing.plan.cost import cost_of, days_late, weighted_tardiness
from routing.plan.problem import Plan
from routing.plan.rules import critical_ratio, earliest_due, least_slack, tails, urgency
from routing.plan.serial import dispatch, insert
from tests.routing.plan.invented import DAY, SMALL, backlog, shop_with

BACKLOGS = ("backlog-50.json.gz", "backlog-200.json.gz")
LIKE_MEASURED = 0.08
"""How far a rule may lie from the measured value: how ties and work that does not fit are taken is not told."""


@pytest.mark.parametrize(("name", "measured"), [(BACKLOGS[0], 850), (BACKLOGS[1], 1804)])
def test_insertion_by_due_dates_is_as_measured(name, measured):
    """To the printed digit: this scheme leaves nothing open, orders by due tick, then number."""
    problem, _ = backlog(name)
    by_due = np.lexsort((np.arange(len(problem.work)), problem.work.due[problem.work.order]))
    assert round(weighted_tardiness(problem, insert(problem, by_due))) == measured


@pytest.mark.parametrize("name", BACKLOGS)
@pytest.mark.parametrize(("rule", "called"), [(earliest_due, "EDD"), (least_slack, "SLACK"), (critical_ratio, "CR")])
def test_dispatching_is_about_as_good_as_measured(name, rule, called):
    problem, given = backlog(name)
    reached = weighted_tardiness(problem, dispatch(problem, rule(problem)))
    assert reached == pytest.approx(given["measured"]["rules"][called], rel=LIKE_MEASURED)


@pytest.mark.parametrize("name", BACKLOGS)
def test_no_plan_lies_below_the_proven_bound(name):
    problem, given = backlog(name)
    plan = cheapest_by_rule(problem, "plain")
    assert violations(problem, plan) == []
    assert given["measured"]["lower_bound"] <= weighted_tardiness(problem, plan)
    assert weighted_tardiness(problem, plan) <= 1.03 * min(given["measured"]["rules"].values())


@pytest.mark.parametrize("name", SMALL)
def test_small_backlogs_stay_above_their_optimum_and_near_the_measured_rule(name):
    problem, given = backlog(name)
    plan = dispatch(problem, least_slack(problem))
    assert violations(problem, plan) == []
    reached = weighted_tardiness(problem, plan)
    assert given["proven_optimum"] - 0.05 <= reached <= 1.05 * given["rule_slack"]


def test_a_tail_counts_work_and_waits_of_the_longest_way():
    """A wait of a week is five days of eight ticks of this axis, nearly: the axis ends with a Friday."""
    rows = [
        {"station": 0, "ticks": 3}, {"station": 0, "ticks": 2, "after": [(0, 7 * DAY)]},
        {"station": 0, "ticks": 5, "after": [(0, 0)]}, {"station": 0, "ticks": 1, "after": [(1, 0), (2, 0)]},
    ]  # fmt: skip
    problem = shop_with(rows, days=260)
    assert tails(problem) == pytest.approx([3 + 40 + 2 + 1, 2 + 1, 5 + 1, 1], rel=0.01)


def test_urgency_prefers_weight_for_the_tick():
    rows = [{"station": 0, "ticks": 4}, {"station": 0, "ticks": 1}]
    problem = shop_with(rows)
    assert dispatch(problem, urgency(problem)).start.tolist() == [1, 0]


def test_cost_by_hand():
    problem = shop_with([{"station": 0, "ticks": 4}])
    problem.work.due[:], problem.work.weight[:] = 8, 3
    plan = Plan([18], [24], [-1])
    assert days_late(problem, plan).tolist() == [2.0]
    assert (cost_of(problem, plan, "plain"), cost_of(problem, plan, "convex")) == (6.0, pytest.approx(3 * 2.8))
