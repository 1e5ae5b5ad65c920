"""Dates without capacity: by hand on three tasks, and against networkx' longest path where every hour is worked."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

import networkx as nx
import pytest

from routing.catalogue import Touch
from routing.dates import earliest_dates, total_touch, touch_totals
from routing.expand import ExpandedTask, build_rows
from routing.workdays import WorkCalendar
from specs.facts import OrderFacts

WEEKDAYS = WorkCalendar("Europe/Lisbon", (((time(8), time(16)),),) * 5 + ((), ()))
ALWAYS = WorkCalendar("UTC", (((time(0), time(0)),),) * 7)
FRIDAY = datetime(2026, 3, 27, 14, tzinfo=UTC)

TASKS = (
    ExpandedTask("Glue", "Glue bench", (), Touch(0.5, 1, 2), 48),
    ExpandedTask("Inlay", "Neck bench", (), Touch(1, 3, 8), 0),
    ExpandedTask("Sand", "Neck bench", ("Glue", "Inlay"), Touch(0, 2, 4), 4),
)


def at(day, hour, minute=0, month=3):
    return datetime(2026, month, day, hour, minute, tzinfo=UTC)


def test_work_waits_for_the_bench_and_waiting_runs_over_the_weekend():
    """Friday 27 March 2026, 14:00; the clock goes forward on Sunday, so Monday opens at 07:00 UTC."""
    dates = earliest_dates(TASKS, WEEKDAYS, FRIDAY)
    assert dict(dates.tasks) == {
        "Glue": (at(27, 14), at(27, 15), at(29, 15)),
        "Inlay": (at(27, 14), at(30, 8), at(30, 8)),
        "Sand": (at(30, 8), at(30, 10), at(30, 14)),
    }
    assert (dates.finish, dates.chain) == (at(30, 10), ("Inlay", "Sand"))


def test_low_hours_and_a_task_without_work():
    """Nothing to do at the bench needs nobody: it is over when it may start, on a Sunday too."""
    dates = earliest_dates(TASKS, WEEKDAYS, FRIDAY, estimate="low")
    assert dates.tasks["Sand"] == (at(29, 14, 30), at(29, 14, 30), at(29, 18, 30))
    assert dates.chain == ("Glue", "Sand")


def test_work_already_done_keeps_its_date():
    dates = earliest_dates(TASKS, WEEKDAYS, FRIDAY, finished={"Inlay": at(26, 10), "Glue": at(31, 10)})
    assert dates.tasks["Inlay"] == (at(26, 10),) * 3
    assert dates.tasks["Sand"].start == at(2, 10, month=4)


def test_a_build_without_tasks_has_no_dates():
    with pytest.raises(ValueError, match="without tasks"):
        earliest_dates([], WEEKDAYS, FRIDAY)


@pytest.mark.parametrize("estimate", ["low", "usual", "high"])
def test_where_every_hour_is_worked_the_finish_is_the_longest_path(order, estimate):
    tasks = build_rows(order({"finish.kind": "nitrocellulose", "finish.sheen": "gloss"}), OrderFacts(export=True))
    hours = {task.operation: getattr(task.touch_h, estimate) for task in tasks}
    waits = {task.operation: task.wait_h for task in tasks}
    graph = nx.DiGraph()
    graph.add_weighted_edges_from(
        (before, task.operation, hours[before] + waits[before]) for task in tasks for before in task.after
    )
    longest = nx.dag_longest_path_length(graph) + hours[tasks[-1].operation]
    dates = earliest_dates(tasks, ALWAYS, FRIDAY, estimate=estimate)
    assert (dates.finish - FRIDAY) / timedelta(hours=1) == pytest.approx(longest, abs=1e-6)
    chained = sum(hours[name] + waits[name] for name in dates.chain) - waits[dates.chain[-1]]
    assert chained == pytest.approx(longest, abs=1e-6)


def test_touch_hours_by_station_in_shop_walk_order():
    assert list(touch_totals(TASKS).items()) == [("Glue bench", (0.5, 1, 2)), ("Neck bench", (1, 5, 12))]
    assert total_touch(TASKS) == (1.5, 6, 14)
    assert total_touch([]) == (0, 0, 0)
