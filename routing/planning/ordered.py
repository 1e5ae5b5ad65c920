"""The work of an order that has no build yet, as the plan counts it: what its spec expands to, from the office on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from routing.ahead import AFTER_DESPATCH, DESPATCH
from routing.catalogue import OPERATIONS
from routing.expand import ExpandedTask
from routing.expected import attended_h, mean_h, ticks_of
from routing.plan.problem import NONE, PlanRefused, Problem, Work
from routing.planning.backlog import IN_ONE_GO
from routing.planning.capacity import WAITS_ONLY, ShopCapacity

LIVED = frozenset(row.name for row in OPERATIONS if row.lived_on_order)
"""Done with the order itself; the customer's time to answer and to pay still counts."""


@dataclass(frozen=True, eq=False)
class OrderedWork:
    """The tasks up to despatch as a problem's work; ``tasks`` names them, ``last`` is the row of despatch."""

    tasks: tuple[ExpandedTask, ...]
    work: Work
    last: int


def order_work(
    tasks: Sequence[ExpandedTask], shop: ShopCapacity, *, release: int, due: int | None = None
) -> OrderedWork:
    """One order that may begin at a tick; ``due`` a tick, the horizon unless told.

    Raises PlanRefused where nobody may work at a station it needs.
    """
    kept = tuple(task for task in tasks if task.operation not in AFTER_DESPATCH)
    row = {task.operation: place for place, task in enumerate(kept)}
    after = [[row[name] for name in task.after] for task in kept]
    touch = np.array([(0, 0, 0) if task.operation in LIVED else task.touch_h for task in kept])
    lags, wait = np.unique([round(60 * task.wait_h) for task in kept], return_inverse=True)
    before = np.array([each for one in after for each in one], dtype=np.int64)
    stations = {station.name: place for place, station in enumerate(shop.crew.stations)}
    _require_known(kept, stations)
    station = np.array([stations[task.station] for task in kept], dtype=np.int64)
    work = Work(
        order=np.zeros(len(kept)), station=station, ticks=ticks_of(attended_h(mean_h(*touch.T))),
        one_day=_at(shop, station, IN_ONE_GO), earliest=np.zeros(len(kept)),
        after_ptr=np.cumsum([0, *map(len, after)]), after=before, lag=wait[before], lag_minutes=lags,
        release=[release], due=[len(shop.axis) if due is None else due], weight=[1.0],
        rests=np.where(_at(shop, station, WAITS_ONLY) & (lags[wait] > 0), wait, NONE),
    )  # fmt: skip
    _require_hands(kept, work, shop)
    return OrderedWork(kept, work, row.get(DESPATCH, len(kept) - 1))


def _at(shop: ShopCapacity, station: NDArray[np.int64], slugs: frozenset[str]) -> NDArray[np.bool_]:
    return np.array([one.slug in slugs for one in shop.crew.stations], dtype=bool)[station]


def _require_known(tasks: Sequence[ExpandedTask], stations: dict[str, int]) -> None:
    if missing := sorted({task.station for task in tasks} - stations.keys()):
        raise PlanRefused.one("stations", "unknown", _("The shop has no {station}.").format(station=_(missing[0])))


def _require_hands(tasks: Sequence[ExpandedTask], work: Work, shop: ShopCapacity) -> None:
    nobody = shop.capacity.needs_hands & ~shop.capacity.able.any(axis=0)
    empty = dict.fromkeys(tasks[i].station for i in np.flatnonzero(nobody[work.station] & (work.ticks > 0)))
    if empty:
        message = _("Nobody may work at: {stations}.").format(stations=", ".join(_(name) for name in empty))
        raise PlanRefused.one("stations", "nobody", message)


def with_orders(problem: Problem, more: Sequence[Work]) -> Problem:
    """The same shop with more orders behind its own."""
    if not more:
        return problem
    works = [problem.work, *more]
    lags = np.unique(np.concatenate([work.lag_minutes for work in works]))
    tasks = np.cumsum([0, *(len(work) for work in works)])
    orders = np.cumsum([0, *(len(work.release) for work in works)])
    edges = np.cumsum([0, *(len(work.after) for work in works)])
    columns = (
        "station",
        "ticks",
        "one_day",
        "earliest",
        "rest_at",
        "fixed",
        "fixed_person",
        "release",
        "due",
        "weight",
    )
    joined = {name: np.concatenate([getattr(work, name) for work in works]) for name in columns}
    each = list(enumerate(works))
    return replace(problem, work=Work(
        **joined, lag_minutes=lags,
        order=np.concatenate([work.order + orders[i] for i, work in each]),
        after=np.concatenate([work.after + tasks[i] for i, work in each]),
        after_ptr=np.concatenate([[0], *(work.after_ptr[1:] + edges[i] for i, work in each)]),
        lag=np.concatenate([_renamed(work, lags)[work.lag] for work in works]),
        rests=np.concatenate([np.where(work.rests < 0, NONE, _renamed(work, lags)[work.rests]) for work in works]),
    ))  # fmt: skip


def _renamed(work: Work, lags: NDArray[np.int64]) -> NDArray[np.int64]:
    """The row each of the work's waits has among all; one more so that -1 names something."""
    return np.append(np.searchsorted(lags, work.lag_minutes), 0)
