"""A planning problem as one JSON object, as planners exchange it; every mistake in it named at once.

``tick_minutes``, ``ticks_per_day``, ``open`` ("08:00"); ``working_days``: the calendar day of each working day, day 0
being the first; ``stations`` with ``name`` and ``places``; ``absences``: station, working day, places missing that
day; ``orders`` with ``release``, ``due`` (ticks) and ``weight``; ``tasks`` with ``order``, ``station``, ``ticks``,
``one_day``, ``earliest`` and ``after``, a list of task and hours of waiting.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np

from routing.plan.problem import TICK_MINUTES, Axis, Capacity, Problem, Work
from routing.plan.reading import Path, Reading

DAY_MINUTES = 24 * 60
MOST_TICKS = 2**22
MOST_PLACES = 2**14

Document = dict[str, Any]


def read_problem(document: Document) -> Problem:
    """The problem of that document; clock minutes are counted from 00:00 of day 0. Raises PlanRefused."""
    reading = Reading()
    axis = _read_axis(reading, document)
    places = _read_places(reading, document, axis)
    work = _read_work(reading, document)
    reading.require_sense()
    return Problem(axis, Capacity.without_people(places), work).check()


def _read_axis(reading: Reading, document: Document) -> Axis:
    tick, ticks, opens = _read_day(reading, document)
    days = [reading.whole(at, day, 0) for at, day in reading.each(("working_days",), document.get("working_days"))]
    for i, (before, day) in enumerate(pairwise(days), start=1):
        if day <= before:
            reading.refuse(("working_days", i), "not-rising", "must come after the day before it")
    if len(days) * ticks > MOST_TICKS:
        reading.refuse(("working_days",), "too-many", f"too long a horizon, more than {MOST_TICKS} ticks")
        days = []
    within = opens + tick * np.arange(ticks, dtype=np.int64)
    begins = (np.array(days, dtype=np.int64)[:, None] * DAY_MINUTES + within).ravel()
    return Axis(begins, begins + tick, np.repeat(np.arange(len(days)), ticks), ticks)


def _read_day(reading: Reading, document: Document) -> tuple[int, int, int]:
    """Minutes of a tick, ticks of a day, and the minute at which a day opens."""
    tick = reading.whole(("tick_minutes",), document.get("tick_minutes", TICK_MINUTES), 1, DAY_MINUTES)
    ticks = reading.whole(("ticks_per_day",), document.get("ticks_per_day"), 1, DAY_MINUTES) or 1
    opens = max(0, reading.clock(("open",), document.get("open", "08:00")))
    closes = opens + tick * ticks
    if closes > DAY_MINUTES:
        reading.refuse(("ticks_per_day",), "too-many", "the day would end after midnight")
    elif "close" in document and reading.clock(("close",), document["close"]) not in (-1, closes):
        reading.refuse(("close",), "contradiction", "must be the opening plus all ticks of a day")
    return tick, ticks, opens


def _read_places(reading: Reading, document: Document, axis: Axis) -> np.ndarray:
    rows = reading.objects(("stations",), document.get("stations"))
    stations = [reading.whole((*at, "places"), row.get("places"), 0, MOST_PLACES) for at, row in rows]
    places = np.repeat(np.array(stations, dtype=np.int64)[:, None], len(axis), axis=1)
    days = len(axis) // axis.ticks_a_day
    for (*_, at), row in reading.groups(("absences",), document.get("absences", []), 3):
        bounds = (len(stations) - 1, days - 1, MOST_PLACES)
        absence = zip(row, bounds, strict=True)
        station, day, missing = (
            reading.whole(("absences", at, k), value, 0, most) for k, (value, most) in enumerate(absence)
        )
        if station < len(stations):
            places[station, day * axis.ticks_a_day : (day + 1) * axis.ticks_a_day] -= missing
    return np.maximum(places, 0)


def _read_work(reading: Reading, document: Document) -> Work:
    orders = [_read_order(reading, *each) for each in reading.objects(("orders",), document.get("orders"))]
    tasks = [_read_task(reading, *each) for each in reading.objects(("tasks",), document.get("tasks"))]
    after = [edge for task in tasks for edge in task["after"]]
    minutes, lag = np.unique([round(60 * hours) for _, hours in after], return_inverse=True)
    columns = ("order", "station", "ticks", "one_day", "earliest")
    return Work(
        **{name: [task[name] for task in tasks] for name in columns},
        after_ptr=np.cumsum([0, *(len(task["after"]) for task in tasks)]),
        after=[task for task, _ in after],
        lag=lag,
        lag_minutes=minutes,
        release=[release for release, _, _ in orders],
        due=[due for _, due, _ in orders],
        weight=[weight for _, _, weight in orders],
    )


def _read_order(reading: Reading, at: Path, row: Document) -> tuple[int, int, float]:
    return (
        reading.whole((*at, "release"), row.get("release"), 0),
        reading.whole((*at, "due"), row.get("due")),
        reading.real((*at, "weight"), row.get("weight")),
    )


def _read_task(reading: Reading, at: Path, row: Document) -> Document:
    read: Document = {name: reading.whole((*at, name), row.get(name), 0) for name in ("order", "station", "ticks")}
    read["earliest"] = reading.whole((*at, "earliest"), row.get("earliest", 0), 0)
    read["one_day"] = reading.truth((*at, "one_day"), row.get("one_day", False))
    edges = reading.groups((*at, "after"), row.get("after", []), 2)
    read["after"] = [
        (reading.whole((*edge, 0), task, 0), reading.real((*edge, 1), hours)) for edge, (task, hours) in edges
    ]
    return read
