"""Plans of random problems can be carried out; sequences, people, pauses, rests and frozen work as agreed."""

from __future__ import annotations

import numpy as np
import pytest

from routing.plan.checker import violations
from routing.plan.problem import PlanRefused
from routing.plan.rules import RULES, least_slack
from routing.plan.serial import decode, dispatch, insert
from tests.routing.plan.invented import DAY, HOUR, always, random_problem, shop_with

SEEDS = range(25)


def topological(problem, seed: int) -> list[int]:
    """A random sequence that puts nothing before its predecessors."""
    dice, work = np.random.default_rng(seed), problem.work
    left, sequence = list(range(len(work))), []
    while left:
        ready = [i for i in left if not set(work.after[work.after_ptr[i] : work.after_ptr[i + 1]]) & set(left)]
        left.remove(pick := int(dice.choice(ready)))
        sequence.append(pick)
    return sequence


@pytest.mark.parametrize("seed", SEEDS)
def test_any_sequence_gives_a_plan_that_can_be_carried_out(seed):
    problem = random_problem(seed)
    assert violations(problem, insert(problem, topological(problem, seed))) == []


@pytest.mark.parametrize("rule", RULES)
def test_every_rule_gives_plans_that_can_be_carried_out(rule):
    for problem in map(random_problem, SEEDS):
        assert violations(problem, dispatch(problem, RULES[rule](problem))) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_decoding_moves_no_task_later(seed):
    problem = random_problem(seed)
    for plan in (insert(problem, topological(problem, seed)), dispatch(problem, least_slack(problem))):
        again = decode(problem, plan)
        assert violations(problem, again) == []
        assert np.all(again.start <= plan.start)
        assert np.all(again.end <= plan.end)


def starts(plan) -> list[int]:
    return plan.start.tolist()


def spans(plan) -> list[tuple[int, int, int]]:
    return list(zip(plan.start.tolist(), plan.end.tolist(), plan.person.tolist(), strict=True))


def test_a_later_task_fills_a_gap():
    problem = shop_with([{"station": 0, "ticks": 4, "earliest": 6}, {"station": 0, "ticks": 3}])
    assert starts(insert(problem, [0, 1])) == [6, 0]


def test_one_day_work_waits_for_the_next_morning():
    rows = [{"station": 0, "ticks": 6}, {"station": 0, "ticks": 4, "one_day": True}, {"station": 0, "ticks": 2}]
    problem = shop_with(rows)
    assert starts(insert(problem, [0, 1, 2])) == [0, 8, 6]
    assert starts(dispatch(problem, least_slack(problem))) == [0, 8, 6]


def test_a_wait_runs_over_the_night_and_the_weekend():
    rows = [{"station": 0, "ticks": 8}, {"station": 0, "ticks": 1, "after": [(0, DAY)]}]
    assert starts(insert(shop_with(rows), [0, 1])) == [0, 16]
    late = [{"station": 0, "ticks": 8, "earliest": 32}, {"station": 0, "ticks": 1, "after": [(0, DAY)]}]
    assert starts(insert(shop_with(late), [0, 1])) == [32, 40]


def test_part_time_hands_pause_a_task_and_keep_its_place():
    mornings = ([True] * 4 + [False] * 4) * 10
    problem = shop_with([{"station": 0, "ticks": 6}, {"station": 0, "ticks": 1}], [mornings])
    plan = insert(problem, [0, 1])
    assert spans(plan) == [(0, 10, 0), (10, 11, 0)]
    assert violations(problem, plan) == []


def test_whoever_is_done_first_does_it():
    away = [True] * 4 + [False] * 36 + [True] * 40
    problem = shop_with([{"station": 0, "ticks": 6}], [away, always()])
    assert spans(insert(problem, [0])) == [(0, 6, 1)]
    assert spans(dispatch(problem, least_slack(problem))) == [(0, 6, 1)]


def test_the_only_qualified_person_ill_holds_the_task_up():
    ill = [False] * 24 + [True] * 56
    problem = shop_with([{"station": 0, "ticks": 2}, {"station": 1, "ticks": 2}], [ill, always()])
    problem.capacity.able[:] = [[True, False], [False, True]]
    for plan in (insert(problem, [0, 1]), dispatch(problem, least_slack(problem))):
        assert spans(plan) == [(24, 26, 0), (0, 2, 1)]


def test_two_stations_share_one_person():
    problem = shop_with([{"station": 0, "ticks": 3}, {"station": 1, "ticks": 3}], [always()])
    for plan in (insert(problem, [0, 1]), dispatch(problem, least_slack(problem))):
        assert starts(plan) == [0, 3]


def test_a_rest_keeps_the_place_and_full_hooks_stop_the_next():
    own = shop_with([{"station": 0, "ticks": 2, "rests": DAY}, {"station": 0, "ticks": 2}])
    assert starts(insert(own, [0, 1])) == [0, 10]
    hooks = [{"station": 0, "ticks": 2, "rests": 2 * DAY, "rest_at": 1} for _ in range(3)]
    problem = shop_with(hooks, places=[1, 2])
    for plan in (insert(problem, [0, 1, 2]), dispatch(problem, least_slack(problem))):
        assert starts(plan) == [0, 2, 18]
        assert violations(problem, plan) == []


def test_frozen_work_stays_and_the_others_go_around_it():
    rows = [{"station": 0, "ticks": 4, "fixed": 2, "fixed_person": 0}, {"station": 0, "ticks": 4}]
    problem = shop_with(rows, [always()])
    for plan in (insert(problem, [0, 1]), dispatch(problem, least_slack(problem))):
        assert spans(plan) == [(2, 6, 0), (6, 10, 0)]


def test_a_task_without_ticks_takes_nothing_and_passes_its_wait_on():
    rows = [
        {"station": 0, "ticks": 8}, {"station": 0, "ticks": 0, "after": [(0, 30 * HOUR)]},
        {"station": 0, "ticks": 1, "after": [(1, DAY)]},
    ]  # fmt: skip
    problem = shop_with(rows)
    for plan in (insert(problem, [0, 1, 2]), dispatch(problem, least_slack(problem))):
        assert spans(plan) == [(0, 8, -1), (16, 16, -1), (24, 25, -1)]
        assert violations(problem, plan) == []


def test_a_horizon_too_short_refuses_and_names_the_task():
    rows = [{"station": 0, "ticks": 6}, {"station": 0, "ticks": 6}]
    problem = shop_with(rows, days=1)
    with pytest.raises(PlanRefused, match=r"tasks\.1: finds no place for 6 ticks at station 0 from tick 0"):
        insert(problem, [0, 1])
    with pytest.raises(PlanRefused, match=r"tasks\.1: finds no place"):
        dispatch(problem, least_slack(problem))
    waits = shop_with([{"station": 0, "ticks": 1}, {"station": 0, "ticks": 1, "after": [(0, 7 * DAY)]}], days=5)
    with pytest.raises(PlanRefused, match=r"tasks\.1: could only start after the horizon"):
        insert(waits, [0, 1])
    frozen = shop_with([{"station": 0, "ticks": 6, "fixed": 6}], days=1)
    with pytest.raises(PlanRefused, match=r"tasks\.0: is frozen where it cannot end"):
        dispatch(frozen, least_slack(frozen))


def test_a_sequence_against_the_order_of_work_refuses():
    problem = shop_with([{"station": 0, "ticks": 1}, {"station": 0, "ticks": 1, "after": [(0, 0)]}])
    with pytest.raises(PlanRefused, match=r"tasks\.1: stands before a task it comes after"):
        insert(problem, [1, 0])
    with pytest.raises(PlanRefused, match="sequence: must hold every task exactly once"):
        insert(problem, [0, 0])
