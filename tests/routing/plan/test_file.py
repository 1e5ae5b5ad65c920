"""A backlog as a file: every mistake named at once, nothing guessed; and what no sequence could plan."""

from __future__ import annotations

import copy

import numpy as np
import pytest

from routing.plan.file import read_problem
from routing.plan.problem import Axis, Capacity, PlanRefused, Problem
from tests.routing.plan.invented import DAY, always, axis_of_days, shop_with, work_of

GIVEN = {
    "tick_minutes": 15, "ticks_per_day": 32, "open": "08:00", "close": "16:00", "working_days": [0, 1, 4],
    "stations": [{"name": "saw", "places": 2}, {"name": "booth", "places": 1}],
    "absences": [[0, 1, 1], [0, 1, 3]],
    "orders": [{"release": 0, "due": 40, "weight": 2}],
    "tasks": [
        {"order": 0, "name": "cut", "station": 0, "ticks": 4, "one_day": False, "earliest": 1, "after": []},
        {"order": 0, "name": "spray", "station": 1, "ticks": 8, "one_day": True, "earliest": 0, "after": [[0, 24]]},
    ],
}  # fmt: skip


def given(path: str, value: object) -> dict:
    """The document with one thing changed."""
    document = copy.deepcopy(GIVEN)
    at, keys = document, [int(key) if key.isdecimal() else key for key in path.split(".")]
    for key in keys[:-1]:
        at = at[key]
    at[keys[-1]] = value
    return document


def refused(document: dict) -> list[str]:
    with pytest.raises(PlanRefused) as caught:
        read_problem(document)
    return [reason.field for reason in caught.value.problems]


def test_a_whole_file():
    problem = read_problem(GIVEN)
    assert problem.axis.begins[[0, 31, 32, 64]].tolist() == [480, 945, DAY + 480, 4 * DAY + 480]
    assert problem.axis.ends[31] == 960
    assert problem.capacity.places[:, [0, 32, 64]].tolist() == [[2, 0, 2], [1, 1, 1]]
    assert problem.work.lag_minutes[problem.work.lag].tolist() == [DAY]
    assert problem.work.one_day.tolist() == [False, True]


WRONG = {
    "tick_minutes": 0, "ticks_per_day": 65, "open": "8", "close": "17:00", "working_days": None,
    "working_days.1": 0, "stations.0.places": -1, "stations.1": 3, "absences.0": [0, 1], "absences.0.0": 2,
    "absences.1.1": 3, "orders.0.release": -1, "orders.0.due": 1.5, "orders.0.weight": True, "tasks.0.order": 1,
    "tasks.1.station": 2, "tasks.1.ticks": "8", "tasks.1.one_day": 1, "tasks.0.earliest": None,
    "tasks.1.after": 3, "tasks.1.after.0.1": -1, "tasks.1.after.0.0": -1,
}  # fmt: skip


@pytest.mark.parametrize("path", WRONG)
def test_each_mistake_is_named(path):
    assert path in {field if field == path else field.rpartition(".")[0] for field in refused(given(path, WRONG[path]))}


@pytest.mark.parametrize("task", [1, 7])
def test_nothing_comes_after_itself_or_what_stands_behind_it(task):
    assert refused(given("tasks.1.after", [[task, 0]])) == ["tasks.1.after"]


def test_all_mistakes_at_once():
    document = given("tasks.0.ticks", -1) | {"orders": [{}], "close": "x"}
    assert refused(document) == ["close", "orders.0.release", "orders.0.due", "orders.0.weight", "tasks.0.ticks"]


def test_an_empty_document_is_refused_without_fuss():
    assert refused({}) == ["ticks_per_day", "working_days", "stations", "orders", "tasks"]


@pytest.mark.parametrize("row", [{"ticks": 33, "one_day": True}, {"ticks": 97}])
def test_work_longer_than_any_stretch_of_its_station(row):
    document = copy.deepcopy(GIVEN)
    document["tasks"][1].update(row)
    assert refused(document) == ["tasks.1.ticks"]


def test_closures_shorten_the_longest_stretch():
    assert refused(given("tasks.0.ticks", 33)) == ["tasks.0.ticks"]
    assert read_problem(given("tasks.0.ticks", 32)).work.ticks[0] == 32


def test_people_must_exist_and_be_there_long_enough():
    axis, nobody = axis_of_days(2), np.zeros((1, 16), dtype=bool)
    work = work_of([{"station": 0, "ticks": 1}])
    with pytest.raises(PlanRefused, match=r"stations\.0: needs people.*tasks\.0\.ticks: takes 1 ticks.* has 0 at most"):
        Problem(axis, Capacity(np.ones((1, 16)), nobody, [[False]], [True]), work).check()
    mornings = ([True] * 4 + [False] * 4) * 10
    assert shop_with([{"station": 0, "ticks": 40}], [mornings]).work.ticks[0] == 40
    with pytest.raises(PlanRefused, match=r"takes 5 ticks in one day, and station 0 has 4 at most"):
        shop_with([{"station": 0, "ticks": 5, "one_day": True}], [mornings])


def test_lists_that_do_not_fit_together_are_told_alone():
    work = work_of([{"station": 5, "ticks": 1}])
    with pytest.raises(
        PlanRefused, match=r"^capacity\.places: is of size \(1, 8\), must be \(1, 16\); capacity\.hands: [^;]*$"
    ):
        Problem(axis_of_days(2), Capacity.without_people(np.ones((1, 8))), work).check()


def test_an_axis_that_runs_back_and_orders_that_are_scattered():
    rows = [{"station": 0, "ticks": 1, "order": 1}, {"station": 0, "ticks": 1, "order": 0}]
    axis = Axis([0, 10], [15, 25], [0, 0])
    with pytest.raises(PlanRefused, match=r"axis: .*tasks\.1: must stand with the rest of its order"):
        Problem(axis, Capacity.without_people(np.ones((1, 2))), work_of(rows, orders=2)).check()


def test_frozen_work_is_not_asked_whether_it_fits():
    rows = [{"station": 0, "ticks": 12, "one_day": True, "fixed": 0}]
    assert shop_with(rows, [always()]).work.fixed[0] == 0
