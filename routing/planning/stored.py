"""A plan as it is kept: one row a task in a few columns of whole numbers, compressed; and back again."""

from __future__ import annotations

import zlib
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from routing.plan.problem import NONE, Plan, Problem
from routing.plan.quote import Profile, Taken, taken_by
from routing.planning.capacity import ShopCapacity

Whole = NDArray[np.int64]
LEVEL = 1
"""Of compression: the quickest; the columns are differences and shrink well anyhow."""


class PlanRows(NamedTuple):
    """Columns; keys of the database, 0 for none, and UTC minutes since 1970.

    ``task`` is 0 for the work of a booking and for hooks that hang full when the plan is made; ``position`` within
    build or booking; ``rest_at`` the station where it rests from ``rest_begins`` to ``rest_ends``.
    """

    task: Whole
    build: Whole
    booking: Whole
    position: Whole
    station: Whole
    person: Whole
    begins: Whole
    ends: Whole
    rest_at: Whole
    rest_begins: Whole
    rest_ends: Whole

    def where(self, mask: NDArray) -> PlanRows:
        """Some of the rows."""
        return PlanRows(*(column[mask] for column in self))


def no_rows(count: int = 0) -> PlanRows:
    """So many rows of nothing."""
    return PlanRows(*(np.zeros(count, dtype=np.int64) for _ in PlanRows._fields))


def pack(rows: PlanRows) -> bytes:
    """The columns as bytes."""
    return zlib.compress(np.diff(np.array(rows, dtype="<i8"), axis=1, prepend=0).tobytes(), LEVEL)


def unpack(kept: bytes) -> PlanRows:
    """The columns of those bytes."""
    flat = np.frombuffer(zlib.decompress(kept), dtype="<i8")
    return PlanRows(*np.cumsum(flat.reshape(len(PlanRows._fields), -1), axis=1).astype(np.int64))


def rows_of(problem: Problem, shop: ShopCapacity, plan: Plan, **keys: Whole) -> PlanRows:
    """A plan in clock time; ``keys`` are the columns of the database: task, build, booking, position."""
    axis, taken = problem.axis, taken_by(problem, plan)
    stations = np.array([station.pk for station in shop.crew.stations], dtype=np.int64)
    people = np.array([*shop.crew.people, 0], dtype=np.int64)
    clock = np.append(axis.begins, axis.ends[-1:])
    after = np.concatenate((axis.begins[:1], axis.ends))
    begins = clock[taken.begin]
    rests = taken.rest_at != NONE
    own = rests & (taken.rest_at == problem.work.station)
    return no_rows(len(plan.start))._replace(
        station=stations[taken.station], person=people[taken.person],
        begins=begins, ends=np.where(taken.end > taken.begin, after[taken.end], begins),
        rest_at=np.where(rests, stations[taken.rest_at], 0),
        rest_begins=np.where(rests, np.where(own, after[taken.rest_begin], clock[taken.rest_begin]), 0),
        rest_ends=np.where(rests, clock[taken.rest_end], 0),
        **keys,
    )  # fmt: skip


def taken_of(rows: PlanRows, profile: Profile, shop: ShopCapacity) -> Taken:
    """What rows take on an axis of another day; a station or person who has left takes nothing."""
    station, person = _index(shop.crew.station_rows), _index(shop.crew.person_rows)
    begins, ends = profile.axis.begins, profile.axis.ends
    taken = Taken(
        station=_rows(station, rows.station), person=_rows(person, rows.person),
        begin=np.searchsorted(ends, rows.begins, side="right"), end=np.searchsorted(begins, rows.ends),
        rest_at=_rows(station, rows.rest_at),
        rest_begin=np.searchsorted(ends, rows.rest_begins, side="right"),
        rest_end=np.searchsorted(begins, rows.rest_ends),
    )  # fmt: skip
    return Taken(*(column[taken.station != NONE].astype(np.int32) for column in taken))


Index = tuple[Whole, Whole]


def _index(places: dict[int, int]) -> Index:
    keys = np.array(sorted(places), dtype=np.int64)
    return keys, np.array([places[key] for key in keys.tolist()], dtype=np.int64)


def _rows(index: Index, keys: Whole) -> Whole:
    known, rows = index
    if not len(known):
        return np.full(len(keys), NONE, dtype=np.int64)
    at = np.minimum(np.searchsorted(known, keys), len(known) - 1)
    return np.where(known[at] == keys, rows[at], NONE)
