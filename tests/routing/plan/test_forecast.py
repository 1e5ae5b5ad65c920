"""The forecast against queueing formulas, a simulation library, a published PERT network, numpy and scipy."""

from __future__ import annotations

import json
from math import factorial

import numpy as np
import pytest
import simpy
from scipy.stats import lognorm

from routing.plan.cost import ship_ticks
from routing.plan.forecast import CERTAIN, Known, Spread, cv_of, forecast
from routing.plan.problem import Axis, Capacity, Problem, Work
from routing.plan.rules import first_come, least_slack
from routing.plan.serial import dispatch
from tests.routing.plan.invented import REFERENCE, backlog
from tests.routing.plan.shops import shop

QUEUE_WITHIN = 0.07
"""Of a mean wait: what so many customers leave to chance (they wait in runs, so their number says too much)."""

SAMPLED_WITHIN = 0.02
"""Of a mean over thousands of draws, whole ticks included."""

COATS_REDONE = 400


def one_station(release: np.ndarray, ticks: np.ndarray, places: int = 1, horizon: int | None = None) -> Problem:
    """Customers at one station that never closes."""
    count, horizon = len(release), horizon or int(release[-1] + ticks.sum() // places + ticks.max() * 3)
    begins = 15 * np.arange(horizon)
    axis = Axis(begins, begins + 15, np.arange(horizon) // 32)
    nothing = np.zeros(count)
    work = Work(
        order=np.arange(count), station=nothing, ticks=ticks, one_day=nothing, earliest=nothing,
        after_ptr=np.zeros(count + 1), after=[], lag=[], lag_minutes=[0], release=release, due=nothing,
        weight=nothing + 1,
    )  # fmt: skip
    return Problem(axis, Capacity.without_people(np.full((1, horizon), places)), work).check()


def arrivals(seed: int, count: int, every: float) -> np.ndarray:
    return np.floor(np.random.default_rng(seed).exponential(every, count).cumsum()).astype(int)


def customers(seed: int, places: int, busy: float, count: int, mean: float = 60.0) -> Problem:
    """Poisson arrivals, exponential times."""
    service = np.random.default_rng([seed, 1]).exponential(mean, count)
    ticks = np.maximum(np.rint(service), 1).astype(int)
    return one_station(arrivals(seed, count, mean / (places * busy)), ticks, places)


def erlang_c(places: int, load: float) -> float:
    """The probability of waiting. **Source**: Erlang 1917; Gross and Harris, *Queueing Theory*."""
    waiting = load**places / factorial(places) * places / (places - load)
    return waiting / (sum(load**k / factorial(k) for k in range(places)) + waiting)


def test_erlang_c_is_the_printed_one():
    assert erlang_c(1, 0.8) == pytest.approx(0.8)
    assert erlang_c(2, 1.6) == pytest.approx(2 * 0.8**2 / (1 + 0.8))


@pytest.mark.parametrize(("places", "busy"), [(1, 0.7), (3, 0.8), (5, 0.85)])
def test_waits_at_one_station_are_erlangs(places, busy):
    problem = customers(2, places, busy, 60_000)
    plan = dispatch(problem, first_come(problem))
    mean = 60.0
    expected = erlang_c(places, places * busy) * mean / (places * (1 - busy))
    assert np.mean(plan.start - problem.work.release) == pytest.approx(expected, rel=QUEUE_WITHIN)


def test_every_wait_is_that_of_a_simulation_library():
    problem = customers(3, 2, 0.85, 2_000)
    env, started = simpy.Environment(), []
    bench = simpy.Resource(env, capacity=2)

    def visit(at: int, ticks: int):
        yield env.timeout(at)
        with bench.request() as place:
            yield place
            started.append(env.now)
            yield env.timeout(ticks)

    for at, ticks in zip(problem.work.release.tolist(), problem.work.ticks.tolist(), strict=True):
        env.process(visit(at, ticks))
    env.run()
    assert started == dispatch(problem, first_come(problem)).start.tolist()


def test_littles_law_holds_on_that_run():
    problem = customers(4, 3, 0.8, 5_000)
    plan = dispatch(problem, first_come(problem))
    span = int(plan.end.max())
    inside = np.zeros(span + 1)
    np.add.at(inside, problem.work.release, 1)
    np.add.at(inside, plan.end, -1)
    throughput, stay = len(plan.end) / span, np.mean(plan.end - problem.work.release)
    assert np.cumsum(inside)[:span].mean() == pytest.approx(throughput * stay, rel=1e-12)


def test_spread_times_queue_as_pollaczek_and_khinchine_say():
    mean, cv, busy = 60, 0.7, 0.7
    problem = one_station(arrivals(5, 20_000, mean / busy), np.full(20_000, mean))
    found = forecast(problem, Spread(cv, 0, 0, 0, 0), key=first_come(problem), replications=6)
    stay = np.mean(found.finish - problem.work.release[:, None])
    expected = mean + busy * mean * (1 + cv**2) / (2 * (1 - busy))
    assert stay == pytest.approx(expected, rel=QUEUE_WITHIN)


def pert() -> list[dict]:
    """**Source**: a published page's PERT exercise of 14 activities (means and standard deviations printed)."""
    networks = json.loads((REFERENCE / "networks.json").read_text())
    return next(each for each in networks if each["name"] == "pert_14_activities")["activities"]


def pert_problem(chosen: str, day: int = 600) -> tuple[Problem, Known]:
    rows = [each for each in pert() if each["id"] in chosen]
    place = {each["id"]: at for at, each in enumerate(rows)}
    after = [[place[name] for name in each["predecessors"] if name in place] for each in rows]
    low, usual, high = np.array([each["three_points"] for each in rows]).T
    mean = (low + 4 * usual + high) / 6
    begins = 15 * np.arange(120 * day)
    nothing, edges = np.zeros(len(rows)), [each for one in after for each in one]
    work = Work(
        order=nothing, station=nothing, ticks=np.rint(mean * day), one_day=nothing, earliest=nothing,
        after_ptr=np.cumsum([0, *map(len, after)]), after=edges, lag=np.zeros(len(edges)), lag_minutes=[0],
        release=[0], due=[0], weight=[1],
    )  # fmt: skip
    capacity = Capacity.without_people(np.full((1, len(begins)), len(rows)))
    problem = Problem(Axis(begins, begins + 15, np.arange(len(begins)) // 32), capacity, work).check()
    return problem, Known(cv=(high - low) / 6 / mean)


def test_the_critical_path_alone_has_the_published_mean_and_variance():
    problem, known = pert_problem("ACEHIKMN")
    found = forecast(problem, Spread(0, 0, 0, 0, 0), known, replications=4000).finish[0] / 600
    assert found.mean() == pytest.approx(50.8333, rel=SAMPLED_WITHIN / 10)
    assert found.var() == pytest.approx(11.1944, rel=4 * SAMPLED_WITHIN)


def test_the_whole_network_takes_longer_than_its_critical_path():
    """Paths that run beside the critical one can be longer: PERT's date is too early, never too late."""
    problem, known = pert_problem("ABCDEFGHIJKLMN")
    found = forecast(problem, Spread(0, 0, 0, 0, 0), known, replications=2000).finish[0] / 600
    assert 50.8333 < found.mean() < 50.8333 + np.sqrt(11.1944)


@pytest.mark.parametrize("problem", [shop(1), backlog("backlog-50.json.gz")[0]], ids=["people", "places"])
def test_without_spread_it_is_the_dispatched_plan(problem):
    found = forecast(problem, CERTAIN, replications=2)
    planned = ship_ticks(problem, dispatch(problem, least_slack(problem)))
    assert np.array_equal(found.finish, np.stack((planned, planned), axis=1))


def test_the_same_seed_gives_the_same_on_any_number_of_threads():
    problem = shop(2)
    one, three, other = (
        forecast(problem, Spread(), replications=20, seed=s, threads=t) for s, t in ((7, 1), (7, 3), (8, 1))
    )
    assert np.array_equal(one.finish, three.finish)
    assert np.array_equal(one.load, three.load)
    assert not np.array_equal(one.finish, other.finish)


def test_percentiles_are_numpys_and_chances_count():
    found = forecast(shop(2), Spread(), replications=50)
    for level in (0.5, 0.8, 0.95):
        expected = np.percentile(found.finish, 100 * level, axis=1, method="inverted_cdf")
        assert np.array_equal(found.percentile(level), expected)
        assert np.all(found.kept_chance(found.percentile(level)) >= level)
    due = found.percentile(0.8)
    assert found.kept_chance(due).tolist() == [np.mean(row <= at) for row, at in zip(found.finish, due, strict=True)]


def test_load_is_the_work_drawn():
    problem = backlog("backlog-50.json.gz")[0]
    certain = forecast(problem, CERTAIN, replications=1).load[0].sum(axis=1)
    work = problem.work
    busy = np.bincount(work.station, work.ticks, minlength=len(certain))
    assert certain.tolist() == busy.tolist()


def test_redoing_what_the_plan_already_counts_adds_nothing_on_average():
    problem = one_station(np.arange(500) * 200, np.full(500, 100))
    mean = forecast(problem, Spread(0.3, 0.08, 0.08, 0.08, 0), replications=40).load.sum(axis=(1, 2)).mean()
    assert mean == pytest.approx(500 * 100, rel=SAMPLED_WITHIN)


def test_a_clear_coat_done_again_cures_again():
    begins = 15 * np.arange(2000)
    work = Work(
        order=[0, 0], station=[0, 0], ticks=[10, 10], one_day=[0, 0], earliest=[0, 0], after_ptr=[0, 0, 1], after=[0],
        lag=[0], lag_minutes=[15 * 400], release=[0], due=[0], weight=[1],
    )  # fmt: skip
    capacity = Capacity.without_people(np.ones((1, 2000)))
    problem = Problem(Axis(begins, begins + 15, np.arange(2000) // 32), capacity, work).check()
    coats = Known(coats=np.array([True, False]))
    found = forecast(problem, Spread(0, 0, 0.25, 0, 0), coats, replications=COATS_REDONE).finish[0]
    assert set(found.tolist()) == {420, 830}
    assert np.mean(found == 830) == pytest.approx(0.25, abs=3 * np.sqrt(0.25 * 0.75 / COATS_REDONE))


def test_illness_makes_later_and_only_where_hands_are_needed():
    people, places = shop(4), backlog("backlog-50.json.gz")[0]
    ill = Spread(0, 0, 0, 0, 0.2)
    planned = ship_ticks(people, dispatch(people, least_slack(people)))
    assert forecast(people, ill, replications=20).finish.mean() > planned.mean() + 32
    assert np.ptp(forecast(places, ill, replications=3).finish, axis=1).max() == 0


def test_an_order_beyond_the_horizon_has_no_date():
    problem = one_station(np.array([0, 0]), np.array([40, 40]), horizon=90)
    found = forecast(problem, Spread(0.6, 0, 0, 0, 0), replications=50)
    assert found.finish.max() == 91
    assert found.kept_chance([90, 90])[1] < 1


def test_listening_may_stop_it():
    told = []

    def progress(share: float) -> None:
        told.append(share)
        if share > 0.1:
            raise InterruptedError

    with pytest.raises(InterruptedError):
        forecast(shop(1), Spread(), replications=80, progress=progress)
    assert told == [0.1, 0.2]


def test_a_spread_is_that_of_the_lognormal_with_those_deciles():
    s = 0.4
    cv = cv_of(lognorm.ppf(0.1, s), lognorm.ppf(0.9, s))
    assert float(cv) == pytest.approx(lognorm.std(s) / lognorm.mean(s), rel=1e-6)
    assert cv_of([0, 1, 2], [0, 1, 1]).tolist() == [Spread.cv, 0.0, Spread.cv]
