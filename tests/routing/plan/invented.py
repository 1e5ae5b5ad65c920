"""Invented planning problems, small enough to be looked at tick by tick; and the measured family of an invented shop.

The files ``small-*.json.gz`` and ``backlog-*.json.gz`` of ``tests/reference`` are of that family: 14 stations, about
30 tasks an order, waits of 1 to 14 days, absences and holidays. They were handed to this project as data, each with
what simple rules or an exact model reached on it; ``proven_optimum`` is the optimum weighted tardiness.
"""

from __future__ import annotations

import gzip
import json
from pathlib import Path

import numpy as np

from routing.plan.file import read_problem
from routing.plan.problem import Axis, Capacity, Problem, Work

REFERENCE = Path(__file__).resolve().parents[2] / "reference"
HOUR, DAY = 60, 24 * 60
SMALL = sorted(path.name for path in REFERENCE.glob("small-*.json.gz"))


def document(name: str) -> dict:
    return json.loads(gzip.decompress((REFERENCE / name).read_bytes()))


def backlog(name: str) -> tuple[Problem, dict]:
    """The problem of a file, and the file."""
    given = document(name)
    return read_problem(given), given


def axis_of_days(days: int, ticks: int = 8) -> Axis:
    """Working days 08:00 to 10:00 of five weekdays, in minutes from a Monday on."""
    calendar = np.array([day + day // 5 * 2 for day in range(days)])
    begins = (calendar[:, None] * DAY + 8 * HOUR + 15 * np.arange(ticks)).ravel()
    return Axis(begins, begins + 15, np.repeat(np.arange(days), ticks), ticks)


def work_of(rows: list[dict], *, orders: int = 1, **more: object) -> Work:
    """Tasks from rows with ``station``, ``ticks`` and, where wanted, ``order``, ``one_day``, ``earliest``, ``rests``,
    ``rest_at``, ``fixed``, ``fixed_person`` and ``after``: pairs of task and minutes of waiting."""
    minutes = sorted({wait for row in rows for _, wait in row.get("after", ())} | {row.get("rests", 0) for row in rows})
    edges = [row.get("after", ()) for row in rows]
    columns = {
        name: [row.get(name, 0) for row in rows] for name in ("order", "station", "ticks", "one_day", "earliest")
    }
    marks = {name: [row.get(name, -1) for row in rows] for name in ("rest_at", "fixed", "fixed_person")}
    return Work(
        **columns, **marks,
        rests=[minutes.index(row["rests"]) if "rests" in row else -1 for row in rows],
        after_ptr=np.cumsum([0, *map(len, edges)]),
        after=[task for each in edges for task, _ in each],
        lag=[minutes.index(wait) for each in edges for _, wait in each],
        lag_minutes=minutes,
        **{"release": [0] * orders, "due": [0] * orders, "weight": [1.0] * orders} | more,
    )  # fmt: skip


def shop_with(
    rows: list[dict], hands: list[list[bool]] | None = None, *, places: object = 1, days: int = 10
) -> Problem:
    """Those tasks at stations of so many places; everybody named by ``hands`` may work at every station."""
    axis = axis_of_days(days)
    stations = 1 + max(max(row["station"], row.get("rest_at", -1)) for row in rows)
    room = np.full((stations, len(axis)), 0) + np.reshape(places, (-1, 1) if np.ndim(places) == 1 else ())
    people = np.zeros((0, len(axis)), dtype=bool) if hands is None else np.array(hands, dtype=bool)
    able = np.ones((len(people), stations), dtype=bool)
    return Problem(axis, Capacity(room, people, able, np.full(stations, hands is not None)), work_of(rows)).check()


def always(days: int = 10, ticks: int = 8) -> list[bool]:
    """Somebody at work at every tick."""
    return [True] * (days * ticks)


def random_problem(seed: int) -> Problem:
    """Four stations, the last a rack nobody works at, four people of part time, closures, waits, rests, frozen work."""
    dice = np.random.default_rng(seed)
    days, ticks, stations, people = 60, 8, 4, 4
    axis = axis_of_days(days, ticks)
    places = np.repeat(dice.integers(1, 3, (stations, days)), ticks, axis=1)
    places[dice.integers(0, 3), dice.integers(0, days) * ticks :][:ticks] = 0
    hands = dice.random((people, days, ticks // 4)).repeat(4, axis=2).reshape(people, -1) < 0.75
    able = dice.random((people, stations)) < 0.5
    able[np.arange(3), np.arange(3)] = True
    capacity = Capacity(places, hands, able, [True, True, False, False])
    return Problem(axis, capacity, _random_work(dice, stations, len(axis))).check()


def _random_work(dice: np.random.Generator, stations: int, horizon: int) -> Work:
    rows = []
    for order in range(6):
        for k in range(dice.integers(2, 6)):
            row = {"order": order, "station": int(dice.integers(0, 3)), "ticks": int(dice.integers(0, 7))}
            row["one_day"] = bool(row["ticks"] <= 2 and dice.random() < 0.5)
            before = [(len(rows) - 1, int(dice.choice([0, 90, DAY, 3 * DAY])))] if k else []
            rows.append(row | {"after": before, "earliest": int(dice.integers(0, 20))} | _extras(dice, stations))
    return work_of(
        rows, orders=6, release=dice.integers(0, 30, 6), due=dice.integers(20, 200, 6), weight=dice.integers(1, 5, 6)
    )


def _extras(dice: np.random.Generator, stations: int) -> dict:
    chance = dice.random()
    if chance < 0.2:
        return {"rests": DAY}
    if chance < 0.4:
        return {"rests": int(DAY / 2), "rest_at": stations - 1}
    return {"fixed": int(dice.integers(0, 6)), "fixed_person": int(dice.integers(-1, 4))} if chance < 0.45 else {}
