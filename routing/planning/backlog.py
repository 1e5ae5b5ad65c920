"""The backlog as a planning problem: all open tasks of all unfinished builds, from the database in thirteen queries."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from django.utils import timezone
from numpy.typing import NDArray

from routing.ahead import AFTER_DESPATCH
from routing.catalogue import STATIONS
from routing.expected import TICKS_AN_HOUR, attended_h, mean_h, ticks_of
from routing.models import TaskState
from routing.plan.problem import NONE, Capacity, Problem, Work
from routing.planning.assumed import Assumed, assumptions
from routing.planning.capacity import WAITS_ONLY, Crew, ShopCapacity, read_crew, shop_capacity
from routing.planning.frozen import Planned, freeze
from routing.planning.rota import shop_calendar
from routing.planning.rows import OpenWork, read_open_work
from routing.planning.stages import beyond_edges, in_a_row, other_kind, own_edges, stages
from routing.workdays import WorkCalendar

IN_ONE_GO = frozenset(row.slug for row in STATIONS if row.in_one_go)
NOT_PLANNED: Mapping[int, Planned] = MappingProxyType({})

WEEK_H = 20
PLACE_WEEK_H = 40
SHORTEST_DAYS, LONGEST_DAYS = 400, 40 * 365
"""The horizon is the longest queue at twenty hours a person and forty a place a week, and some: too long costs memory,
too short refuses."""


class OrderRow(NamedTuple):
    """What an order of the problem is: a build, or a stage of it; ``leaves`` where its end is the despatch the promise
    is about."""

    build: int
    stage: int
    leaves: bool


@dataclass(frozen=True)
class Backlog:
    """The problem, and what its rows mean: task keys, operations, orders; what was assumed where no date is known."""

    problem: Problem
    shop: ShopCapacity
    tasks: NDArray[np.int64]
    operations: list[str]
    orders: list[OrderRow]
    assumed: list[Assumed]


@dataclass(frozen=True)
class _Sorted:
    """Open tasks in the plan's order: ``rows`` names each one's row as read, ``build`` its build's."""

    work: OpenWork
    rows: NDArray[np.int64]
    build: NDArray[np.int64]
    order: NDArray[np.int64]
    orders: list[OrderRow]

    def column(self, name: str, kind: type) -> NDArray:
        """A column of the tasks in this order."""
        return np.array(self.work.task[name], dtype=kind)[self.rows]


def read_backlog(now: datetime, *, days: int | None = None, planned: Mapping[int, Planned] = NOT_PLANNED) -> Backlog:
    """All that is still to be done and all there is to do it with, from ``now`` on, ``days`` far or as far as needed.

    ``planned`` is the published plan by task key; what it starts today or the next working day stays. What a person
    holds or a customer has not answered is planned after an assumed date, listed in ``assumed``. Thirteen queries.
    """
    work = read_open_work(now)
    holders = {who for who, state in zip(work.task["person_id"], work.task["state"], strict=True)
               if state == TaskState.ON_BENCH and who is not None}  # fmt: skip
    crew, calendar = read_crew(holders), shop_calendar()
    hours = attended_h(_left_h(work, calendar, now))
    shop = shop_capacity(now, days or horizon_days(work, hours, crew), crew)
    assumed = dict(assumptions(work, now))
    found, edges = _sorted(work)
    earliest = _earliest(work, found, now, {row: each.until for row, each in assumed.items()})
    orders = _of_orders(shop, found, _Promises(shop, calendar, now))
    problem = _problem(shop, found, edges, ticks_of(hours), shop.axis.begins.searchsorted(earliest), orders)
    frozen = freeze(shop, problem.work, work.task, found.rows, planned)
    fixed = replace(problem.work, fixed=frozen.fixed, fixed_person=frozen.person)
    return Backlog(
        replace(problem, work=fixed), shop, found.column("pk", np.int64),
        found.column("operation", object).tolist(), found.orders, list(assumed.values()),
    )  # fmt: skip


def _left_h(work: OpenWork, calendar: WorkCalendar, now: datetime) -> NDArray[np.float64]:
    """Mean touch hours of each task; of one begun what is left of them, a quarter of an hour at least."""
    hours = mean_h(work.task["low_h"], work.task["usual_h"], work.task["high_h"])
    touched = np.array(work.task["touched_s"], dtype=float) / 3600
    for row, state in enumerate(work.task["state"]):
        if state == TaskState.ON_BENCH:
            touched[row] += calendar.work_between(work.task["started_at"][row], now)
    return np.where(touched > 0, np.maximum(hours - touched, np.minimum(hours, 0.25)), hours)


def horizon_days(work: OpenWork, hours: NDArray[np.float64], crew: Crew) -> int:
    """Days that surely hold the work: the longest queue of a person or a station, and a year."""
    place = crew.station_rows
    station = np.array([place[each] for each in work.task["station_id"]], dtype=np.int64)
    load_h = np.bincount(station, hours, minlength=len(crew.stations))
    hands = crew.able.sum(axis=0)
    each_h = crew.able @ (load_h / np.maximum(hands, 1)) if len(crew.people) else np.zeros(1)
    places = np.array([max(one.places, 1) for one in crew.stations] or [1])
    queue_h = load_h if len(load_h) else np.zeros(1)
    weeks = max(float(each_h.max(initial=0)) / WEEK_H, float((queue_h / places).max(initial=0)) / PLACE_WEEK_H)
    return int(min(SHORTEST_DAYS + 7 * weeks, LONGEST_DAYS))


def _sorted(work: OpenWork) -> tuple[_Sorted, NDArray[np.int64]]:
    """The tasks in the plan's order and all pairs (task, predecessor) in it, by task."""
    keys = {build.pk: place for place, build in enumerate(work.builds)}
    build = np.array([keys[each] for each in work.task["build_id"]], dtype=np.int64)
    own, beyond = own_edges(build, work), beyond_edges(build, work)
    stage = stages(work, own, beyond)
    rows = in_a_row(build, work, stage)
    rank = np.empty_like(rows)
    rank[rows] = np.arange(len(rows))
    edges = rank[np.concatenate((own, beyond))].reshape(-1, 2)
    build, stage = build[rows], stage[rows]
    starts = np.flatnonzero(np.diff(build * (len(rows) + 1) + stage, prepend=-1))
    order = np.searchsorted(starts, np.arange(len(rows)), side="right") - 1
    found = _Sorted(work, rows, build, order, _orders(work, rows, build, stage, starts))
    return found, edges[np.lexsort((edges[:, 1], edges[:, 0]))]


def _orders(
    work: OpenWork, rows: NDArray[np.int64], build: NDArray[np.int64], stage: NDArray[np.int64],
    starts: NDArray[np.int64],
) -> list[OrderRow]:  # fmt: skip
    after = [work.task["operation"][row] in AFTER_DESPATCH for row in rows[starts]]
    last: dict[int, int] = {}
    for place, (made, left) in enumerate(zip(build[starts].tolist(), after, strict=True)):
        if not left:
            last[made] = place
    return [
        OrderRow(work.builds[made].pk, at, last.get(made) == place)
        for place, (made, at) in enumerate(zip(build[starts].tolist(), stage[starts].tolist(), strict=True))
    ]


def _earliest(work: OpenWork, found: _Sorted, now: datetime, assumed: Mapping[int, datetime]) -> NDArray[np.int64]:
    """UTC minutes before which each task cannot start, for its own reasons: a wait that runs, a hold, a customer."""
    minutes = np.full(len(work), _minute(now), dtype=np.int64)
    for row, at in enumerate(work.task["ready_at"]):
        if at is not None and at > now:
            minutes[row] = _minute(at)
    for row, until in (*_still_waiting(work), *assumed.items()):
        minutes[row] = max(minutes[row], _minute(until))
    return minutes[found.rows]


def _still_waiting(work: OpenWork) -> list[tuple[int, datetime]]:
    """Tasks with a done predecessor whose wait still runs, in their own build and beyond it."""
    running = {(each.build, each.position): each.until for each in work.running}
    made = {build.pk: build for build in work.builds}
    over: dict[tuple[int, str, str], datetime] = {}
    for each in work.running:
        build = made[each.build]
        if build.batch is not None:
            key = (build.batch, build.kind, each.operation)
            over[key] = max(over.get(key, each.until), each.until)
    found = []
    for row, (pk, after, beyond) in enumerate(
        zip(work.task["build_id"], work.task["after"], work.task["beyond"], strict=True)
    ):
        found += [(row, running[pk, place]) for place in after if (pk, place) in running]
        if beyond:
            keys = [(made[pk].batch, other_kind(made[pk].kind), name) for name in beyond]
            found += [(row, over[key]) for key in keys if key in over]
    return found


def _problem(
    shop: ShopCapacity, found: _Sorted, edges: NDArray[np.int64], ticks: NDArray[np.int32],
    earliest: NDArray[np.int64], orders: tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]],
) -> Problem:  # fmt: skip
    place = shop.crew.station_rows
    station = np.array([place[each] for each in found.column("station_id", np.int64).tolist()], dtype=np.int32)
    lag_minutes, wait = np.unique(np.ceil(found.column("wait_h", float) * 60).astype(np.int64), return_inverse=True)
    slugs = np.array([one.slug for one in shop.crew.stations], dtype=object)
    hooks = np.isin(slugs, list(WAITS_ONLY))[station] & (lag_minutes[wait] > 0)
    release, due, weight = orders
    work = Work(
        order=found.order, station=station, ticks=ticks[found.rows], one_day=np.isin(slugs, list(IN_ONE_GO))[station],
        earliest=earliest, after_ptr=np.searchsorted(edges[:, 0], np.arange(len(found.rows) + 1)),
        after=edges[:, 1], lag=wait[edges[:, 1]], lag_minutes=lag_minutes, release=release, due=due, weight=weight,
        rests=np.where(hooks, wait, NONE),
    )  # fmt: skip
    return Problem(shop.axis, _capacity_left(shop, found.work, station), work)


def _capacity_left(shop: ShopCapacity, work: OpenWork, station: NDArray[np.int32]) -> Capacity:
    """The capacity without hooks that hang full now; a station without work or people needs nobody."""
    places, place = shop.capacity.places.copy(), shop.crew.station_rows
    for each in work.running:
        row = place[each.station]
        if shop.crew.stations[row].slug in WAITS_ONLY:
            places[row, : shop.tick_at(each.until)] -= 1
    has_work = np.bincount(station, minlength=len(places)) > 0
    needs = shop.capacity.needs_hands & (has_work | shop.capacity.able.any(axis=0))
    return replace(shop.capacity, places=places.clip(min=0), needs_hands=needs)


def _of_orders(
    shop: ShopCapacity, found: _Sorted, promises: _Promises
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
    """First tick, tick of the promise and weight of each order; no promise is due at the horizon and what follows
    despatch weighs nothing."""
    made = {build.pk: build for build in found.work.builds}
    horizon = len(shop.axis)
    release, due, weight = [], [], []
    last_stage = {row.build: row.stage for row in found.orders if row.leaves}
    for row in found.orders:
        build = made[row.build]
        waits = build.release_date is not None and build.released_at is None
        release.append(shop.begin_of(build.release_date) if waits else 0)
        counts = row.stage <= last_stage.get(row.build, -1)
        due.append(promises.due(build.promise) if counts and build.promise else horizon)
        weight.append(float(build.weight) if counts else 0.0)
    return np.array(release, dtype=np.int64), np.array(due, dtype=np.int64), np.array(weight, dtype=float)


@dataclass
class _Promises:
    """Ticks of promises: the end of that day's working time; negative before ``now``, counted in the shop's time."""

    shop: ShopCapacity
    calendar: WorkCalendar
    now: datetime
    known: dict[date, int] = field(default_factory=dict)

    def due(self, promise: date) -> int:
        """The tick by whose beginning everything must be done."""
        if promise not in self.known:
            self.known[promise] = self._due(promise)
        return self.known[promise]

    def _due(self, promise: date) -> int:
        if promise >= timezone.localdate(self.now):
            return self.shop.end_of(promise)
        midnight = timezone.make_aware(datetime.combine(promise + timedelta(days=1), time()))
        return -int(TICKS_AN_HOUR * self.calendar.work_between(midnight, self.now))


def _minute(moment: datetime) -> int:
    return int(np.ceil(moment.timestamp() / 60))
