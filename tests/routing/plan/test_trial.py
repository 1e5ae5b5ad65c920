"""Changes a trial plan tries, each on an invented shop; every plan looked at by the independent checker."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from routing.plan.candidates import cheapest_by_rule
from routing.plan.checker import violations
from routing.plan.cost import ship_ticks
from routing.plan.problem import NONE, Problem
from routing.plan.trial import (
    RUSH_WEIGHT,
    Ground,
    closed,
    more_hours,
    one_more_person,
    one_more_place,
    rush_first,
    rush_tasks,
    with_rush,
)
from tests.routing.plan.shops import DAY, shop


def ground(problem: Problem) -> Ground:
    return Ground(problem, problem.axis.begins // DAY)


@pytest.fixture
def here() -> Ground:
    return ground(shop(7, orders=12, days=200))


def planned(problem: Problem):
    plan = cheapest_by_rule(problem.check(), "convex")
    assert violations(problem, plan) == []
    return plan


def test_one_more_person_is_able_to_the_same_from_that_day_on(here):
    more = one_more_person(here, like=1, first_day=14).problem.capacity
    was = here.problem.capacity
    assert more.hands.shape == (len(was.hands) + 1, was.hands.shape[1])
    assert more.able[-1].tolist() == was.able[1].tolist()
    assert not more.hands[-1, here.local_day < 14].any()
    later = here.local_day >= 14
    assert more.hands[-1, later].tolist() == was.hands[1, later].tolist()
    planned(one_more_person(here, like=1, first_day=14).problem)


def test_one_more_place_from_that_day_on(here):
    more = one_more_place(here, station=2, first_day=21).problem.capacity.places - here.problem.capacity.places
    assert more[2].tolist() == (here.local_day >= 21).astype(int).tolist()
    assert not np.delete(more, 2, axis=0).any()


def test_overtime_adds_the_ticks_nobody_worked_and_only_that_hand(here):
    evening = np.array([17 * 60, 17 * 60 + 15]) + 16 * DAY
    saturday = np.array([9 * 60 + 15 * k for k in range(8)]) + 19 * DAY
    begins = np.concatenate((evening, saturday))
    more = more_hours(here, {1: begins}, {1: begins // DAY})
    axis, hands = more.problem.axis, more.problem.capacity.hands
    assert len(axis) == len(here.problem.axis) + 10
    assert (np.diff(axis.begins) > 0).all()
    at = np.searchsorted(axis.begins, begins)
    assert axis.begins[at].tolist() == begins.tolist()
    assert hands[1, at].all()
    assert hands[:, at].sum() == len(at)
    old = np.isin(axis.begins, here.problem.axis.begins)
    assert np.array_equal(hands[:, old], here.problem.capacity.hands)
    assert axis.day[at[:2]].tolist() == [axis.day[at[0] - 1]] * 2
    assert axis.day[at[2]] == axis.day[at[2] - 1] + 1
    planned(more.problem)


def test_hours_somebody_else_works_already_need_no_new_tick(here):
    away = int(np.flatnonzero(~here.problem.capacity.hands[1])[0])
    begins = here.problem.axis.begins[away : away + 1]
    more = more_hours(here, {1: begins}, {1: begins // DAY}).problem
    assert len(more.axis) == len(here.problem.axis)
    assert more.capacity.hands[1, away]


def test_promises_keep_their_day_when_ticks_come_in(here):
    work = replace(here.problem.work, due=np.full(12, 32 * 10), earliest=np.full(len(here.problem.work), 64))
    begins = np.array([17 * 60]) + 11 * DAY
    more = more_hours(replace(here, problem=replace(here.problem, work=work)), {0: begins}, {0: begins // DAY})
    assert here.local_day[32 * 10 - 1] == 11
    assert more.problem.work.due.tolist() == [32 * 10 + 1] * 12
    assert set(more.problem.work.earliest.tolist()) == {64}


def test_a_closed_fortnight_has_no_work_in_it_and_keeps_the_rest(here):
    shorter = closed(here, 14, 27)
    assert len(shorter.problem.axis) == len(here.problem.axis) - 10 * 32
    plan = planned(shorter.problem)
    assert not np.isin(shorter.local_day, range(14, 28)).any()
    moments = shorter.problem.axis.begins[np.minimum(plan.start, len(shorter.problem.axis) - 1)]
    assert not ((moments >= 14 * DAY) & (moments < 28 * DAY)).any()
    was, now = here.problem.axis, shorter.problem.axis
    release = here.problem.work.release
    kept = ~np.isin(here.local_day[release], range(14, 28))
    assert np.array_equal(now.begins[shorter.problem.work.release][kept], was.begins[release][kept])


def test_frozen_work_that_reaches_into_closed_days_is_free(here):
    fixed, person = np.full(len(here.problem.work), NONE), np.full(len(here.problem.work), NONE)
    fixed[0], fixed[1], person[:2] = 2, 32 * 10, 0
    work = replace(here.problem.work, fixed=fixed, fixed_person=person)
    left = closed(replace(here, problem=replace(here.problem, work=work)), 14, 27).problem.work
    assert left.fixed[:2].tolist() == [2, NONE]
    assert left.fixed_person[:2].tolist() == [0, NONE]


@pytest.mark.parametrize("seed", [3, 4, 5])
def test_the_rush_tag_shortens_queues_and_never_a_wait(seed):
    problem = shop(seed, orders=25, days=300)
    before = planned(problem)
    order = int(np.argmax(ship_ticks(problem, before)))
    rushed = with_rush(problem, np.array([order]))
    after = rush_first(rushed, before)
    assert violations(rushed, after) == []
    assert ship_ticks(problem, after)[order] < ship_ticks(problem, before)[order]
    assert np.array_equal(rushed.work.lag_minutes, problem.work.lag_minutes)
    assert np.array_equal(rushed.work.lag, problem.work.lag)
    assert np.array_equal(rushed.work.rests, problem.work.rests)
    assert waits_kept(rushed, after, order)


def waits_kept(problem: Problem, plan, order: int) -> bool:
    """Every wait of the order in clock minutes, by plain counting; a task of no ticks marks the start of its tick."""
    work, axis = problem.work, problem.axis
    for task in np.flatnonzero(work.order == order):
        for edge in range(work.after_ptr[task], work.after_ptr[task + 1]):
            one = work.after[edge]
            over = axis.ends[plan.end[one] - 1] if work.ticks[one] else axis.begins[plan.start[one]]
            if axis.begins[plan.start[task]] < over + work.lag_minutes[work.lag[edge]]:
                return False
    return True


def test_alone_in_the_shop_the_rush_tag_gains_nothing():
    problem = shop(9, orders=1, days=300)
    before = planned(problem)
    after = rush_first(with_rush(problem, np.array([0])), before)
    assert ship_ticks(problem, after)[0] >= ship_ticks(problem, before)[0]


def test_without_a_tag_the_plan_stays_the_very_same(here):
    plan = planned(here.problem)
    assert rush_first(here.problem, plan) is plan
    assert not rush_tasks(here.problem).any()


def test_what_the_tagged_order_waits_for_goes_first_with_it(here):
    work = here.problem.work
    after = work.after.copy()
    edge = int(work.after_ptr[work.order.searchsorted(3) + 1])
    after[edge] = 0
    tagged = replace(work, after=after, weight=np.where(np.arange(12) == 3, RUSH_WEIGHT, 1.0))
    first = rush_tasks(replace(here.problem, work=tagged))
    assert first[work.order == 3].all()
    assert np.flatnonzero(first & (work.order != 3)).tolist() == [0]
