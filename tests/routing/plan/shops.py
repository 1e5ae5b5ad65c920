"""Invented shops and orders drawn at random: places, part-time people, days off, cures, hooks, one-day tasks."""

from __future__ import annotations

import numpy as np

from routing.plan.problem import Axis, Capacity, Problem, Work

DAY = 24 * 60
LAGS = np.array([0, 120, 24 * 60, 72 * 60, 7 * DAY])
STATIONS, RACK = 6, 5


def axis(days: int) -> Axis:
    """Working days of eight hours from Monday 08:00 on; weekends are left out."""
    working = np.array([day for day in range(days) if day % 7 < 5])
    begins = (working[:, None] * DAY + 8 * 60 + 15 * np.arange(32)).ravel()
    return Axis(begins, begins + 15, np.repeat(np.arange(len(working)), 32))


def capacity(rng: np.random.Generator, on: Axis, people: int = 5) -> Capacity:
    """Six stations, the last a rack nobody works at, some days without some of their places; part-time people."""
    usual = rng.integers(1, 4, size=STATIONS)
    usual[RACK] = 6
    places = np.repeat(usual[:, None], len(on), axis=1)
    for station in range(STATIONS):
        for day in rng.integers(0, on.day[-1] + 1, size=3):
            places[station, on.day == day] -= 1
    hands = np.ones((people, len(on)), dtype=bool)
    for person in range(people):
        hands[person, np.isin(on.day, rng.integers(0, on.day[-1] + 1, size=5))] = False
        if person % 2:
            hands[person, np.arange(len(on)) % 32 >= 20] = False
    able = rng.random((people, STATIONS)) < 0.5
    able[0] = True
    needs = np.arange(STATIONS) != RACK
    return Capacity(places.clip(0), hands, able, needs)


def work(rng: np.random.Generator, orders: int, horizon: int, tasks: int = 12) -> Work:
    """Orders of a dozen tasks, each after one or two before it; every fourth rests on the rack."""
    count = orders * tasks
    first = np.repeat(np.arange(orders) * tasks, tasks)
    after = [
        sorted({int(first[i] + rng.integers(0, i - first[i])) for _ in range(2)}) if i > first[i] else []
        for i in range(count)
    ]
    ticks = rng.integers(0, 17, size=count)
    rests = np.where(np.arange(count) % 4 == 3, rng.integers(2, len(LAGS), size=count), -1)
    return Work(
        order=np.repeat(np.arange(orders), tasks),
        station=rng.integers(0, STATIONS - 1, size=count),
        ticks=ticks,
        one_day=rng.random(count) < 0.2,
        earliest=np.zeros(count),
        after_ptr=np.cumsum([0, *map(len, after)]),
        after=[each for one in after for each in one],
        lag=rng.integers(0, len(LAGS), size=sum(map(len, after))),
        lag_minutes=LAGS,
        release=rng.integers(0, 200, size=orders),
        due=np.full(orders, horizon),
        weight=np.ones(orders),
        rests=rests,
        rest_at=np.where(rests >= 0, RACK, -1),
    )


def shop(seed: int, orders: int = 30, days: int = 400) -> Problem:
    """A whole problem of that seed."""
    rng = np.random.default_rng(seed)
    on = axis(days)
    return Problem(on, capacity(rng, on), work(rng, orders, len(on))).check()


def both(first: Work, second: Work) -> Work:
    """One list of orders behind the other; both know the same waits."""
    shift = len(first)
    columns = {
        name: np.concatenate((getattr(first, name), getattr(second, name)))
        for name in ("station", "ticks", "one_day", "earliest", "lag", "rests", "rest_at", "release", "due", "weight")
    }
    return Work(
        order=np.concatenate((first.order, second.order + len(first.release))),
        after=np.concatenate((first.after, second.after + shift)),
        after_ptr=np.concatenate((first.after_ptr, second.after_ptr[1:] + len(first.after))),
        lag_minutes=first.lag_minutes,
        **columns,
    )
