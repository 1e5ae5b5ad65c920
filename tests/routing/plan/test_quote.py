"""One order more: the same dates as planning anew with it at the end of the line, and nothing changed by asking."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from routing.plan.problem import Plan, PlanRefused, Problem, Work
from routing.plan.quote import Profile, empty_profile, lay, profile_of, quote, taken_by
from routing.plan.rules import least_slack
from routing.plan.serial import decode, dispatch, insert
from tests.routing.plan import shops

SHOPS, QUOTES = 4, 50


@pytest.fixture(scope="module", params=range(SHOPS))
def planned(request) -> tuple[Problem, Plan, Profile]:
    problem = shops.shop(request.param)
    plan = decode(problem, dispatch(problem, least_slack(problem)))
    return problem, plan, profile_of(problem, plan)


def orders(seed: int, horizon: int) -> list[Work]:
    rng = np.random.default_rng(1000 + seed)
    return [shops.work(rng, 1, horizon, tasks=int(rng.integers(1, 20))) for _ in range(QUOTES)]


def in_the_line(problem: Problem, plan: Plan, order: Work) -> Plan:
    """Where the new order comes with its tasks behind all the published ones, whose order and people are kept."""
    published = np.lexsort((np.arange(len(plan.start)), plan.start))
    sequence = np.concatenate((published, len(plan.start) + np.arange(len(order))))
    persons = np.concatenate((plan.person, np.full(len(order), -1)))
    everything = Problem(problem.axis, problem.capacity, shops.both(problem.work, order))
    found = insert(everything, sequence, persons)
    assert np.array_equal(found.start[: len(plan.start)], plan.start), "a new order moves nobody"
    return Plan(*(row[len(plan.start) :] for row in (found.start, found.end, found.person)))


def test_a_quote_is_the_published_order_of_tasks_with_this_order_appended(planned):
    problem, plan, profile = planned
    for order in orders(1, len(problem.axis)):
        quoted, expected = quote(profile, order).plan, in_the_line(problem, plan, order)
        assert [quoted.start.tolist(), quoted.end.tolist(), quoted.person.tolist()] == [
            expected.start.tolist(), expected.end.tolist(), expected.person.tolist()
        ]  # fmt: skip


def test_asking_leaves_the_profile_bit_identical(planned):
    problem, _plan, profile = planned
    before = [array.tobytes() for array in profile.flat]
    for order in orders(2, len(problem.axis)):
        quote(profile, order)
    assert [array.tobytes() for array in profile.flat] == before


def test_what_is_booked_is_out_of_the_way_of_the_next(planned):
    problem, plan, profile = planned
    one, other = orders(3, len(problem.axis))[:2]
    booked = lay(profile, taken_by(Problem(problem.axis, problem.capacity, one), quote(profile, one).plan))
    line = Problem(problem.axis, problem.capacity, shops.both(problem.work, one))
    quoted = in_the_line(problem, plan, one)
    after = Plan(*map(np.concatenate, zip((plan.start, plan.end, plan.person),
                                          (quoted.start, quoted.end, quoted.person), strict=True)))  # fmt: skip
    assert quote(booked, other).plan.end.tolist() == quote(profile_of(line, after), other).plan.end.tolist()
    assert booked.flat.free.tobytes() == profile_of(line, after).flat.free.tobytes()


def test_the_chain_runs_from_the_release_to_the_end(planned):
    problem, _plan, profile = planned
    for order in orders(4, len(problem.axis)):
        found = quote(profile, order)
        first, last = found.chain[0], found.chain[-1]
        assert (first.before, last.end) == (-1, found.end)
        assert first.ready == order.release[0]
        assert [link.before for link in found.chain[1:]] == [link.task for link in found.chain[:-1]]
        assert all(link.ready <= link.start <= link.end for link in found.chain)
        for before, link in zip(found.chain, found.chain[1:], strict=False):
            table = problem.axis.lag_table if order.ticks[before.task] else problem.axis.lag_table_from_begins
            assert link.ready == table(link.wait_minutes)[before.end]


def test_an_order_alone_in_the_shop_never_queues_without_people():
    problem = shops.shop(0)
    capacity = replace(
        problem.capacity,
        places=np.full_like(problem.capacity.places, 9),
        needs_hands=np.zeros_like(problem.capacity.needs_hands),
    )
    order = replace(shops.work(np.random.default_rng(5), 1, len(problem.axis)), one_day=np.zeros(12))
    found = quote(empty_profile(problem.axis, capacity), order)
    assert [link.queue for link in found.chain] == [0] * len(found.chain)


def test_one_more_at_the_station_that_holds_the_order_up_brings_days(planned):
    problem, _plan, profile = planned
    days = []
    for order in orders(6, len(problem.axis)):
        found = quote(profile, order)
        held = max(found.chain, key=lambda link: link.queue)
        days.append((found.end - quote(profile.with_one_more(int(order.station[held.task])), order).end) / 32)
    assert np.mean(days) > 0
    assert min(days) > -1, "an order in each other's way, at most a day"


def test_no_place_before_the_horizon_is_refused_with_the_task(planned):
    problem, _plan, profile = planned
    order = shops.work(np.random.default_rng(7), 1, len(problem.axis))
    with pytest.raises(PlanRefused, match="horizon"):
        quote(profile, replace(order, release=[len(problem.axis) - 1]))


def test_work_longer_than_any_run_is_refused():
    problem = shops.shop(1)
    order = shops.work(np.random.default_rng(8), 1, len(problem.axis))
    with pytest.raises(PlanRefused, match="ticks"):
        quote(empty_profile(problem.axis, problem.capacity), replace(order, ticks=[40] + [1] * 11, one_day=[True] * 12))
