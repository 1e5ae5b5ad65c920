"""Hours the published plan puts on each station and each person by week, against the hours there are."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from routing.expected import TICKS_AN_HOUR
from routing.models import Station
from routing.planning.capacity import WAITS_ONLY, ShopCapacity
from routing.planning.timetable import Timetable, minute_of

Hours = NDArray[np.float64]
NEAR = 4
"""Weeks over which the tightest station is looked for."""

TIGHT = 0.85
"""Share of the hours from which a station holds work up. **Source**: queueing theory, waiting grows with 1/(1 - share):
seven times the work itself at 85 %; the level itself is common practice, no source."""


@dataclass(frozen=True)
class Load:
    """Hours planned and hours there are, week by week; of a station or of a person."""

    name: str
    key: int
    hours: tuple[float, ...]
    there: tuple[float, ...]

    @property
    def share(self) -> float:
        """Hours planned of those there are, over the next weeks; nothing there counts as nothing to share."""
        there = sum(self.there[:NEAR])
        return sum(self.hours[:NEAR]) / there if there > 0 else 0.0

    @property
    def is_tight(self) -> bool:
        return self.share >= TIGHT

    @property
    def largest(self) -> float:
        """The longest bar of its row."""
        return max((*self.hours, *self.there), default=0.0)

    @property
    def weeks(self) -> list[tuple[float, float, bool]]:
        """Each week's hours, what is there, and whether that is tight."""
        pairs = zip(self.hours, self.there, strict=True)
        return [(hours, there, hours > 0 and hours >= TIGHT * there) for hours, there in pairs]


class Loads:
    """The loads of so many weeks from the Monday of ``today`` on; of the first only what is left of it."""

    def __init__(self, plan: Timetable, shop: ShopCapacity, today: date, weeks: int) -> None:
        monday = today - timedelta(days=today.weekday())
        self.plan, self.shop = plan, shop
        self.mondays = [monday + timedelta(weeks=week) for week in range(weeks + 1)]
        self.cuts = np.array([shop.begin_of(day) for day in self.mondays], dtype=np.int64)
        rows = plan.rows
        axis = shop.axis
        self._begin = np.searchsorted(axis.ends, rows.begins, side="right")
        self._end = np.searchsorted(axis.begins, rows.ends)
        people = shop.crew.person_rows
        self._person = np.array([people.get(person, -1) for person in rows.person.tolist()], dtype=np.int64)

    def of_stations(self) -> list[Load]:
        """One load a station, in shop-walk order; at one that only waits, hours its hooks hang full."""
        return [self._station(row, station) for row, station in enumerate(self.shop.crew.stations)]

    def _station(self, row: int, station: Station) -> Load:
        if station.slug in WAITS_ONLY:
            return self._hooks(station)
        mine = self.plan.rows.station == station.pk
        there = np.minimum(self.shop.capacity.places[row], self._able(row))
        return Load(station.name, station.pk, self.hours(mine), self._by_week(there))

    def _able(self, row: int) -> NDArray[np.int64]:
        """How many people who may work at the station are at work at each tick."""
        able = self.shop.capacity.hands[self.shop.capacity.able[:, row]]
        return able.sum(axis=0, dtype=np.int64)

    def _hooks(self, station: Station) -> Load:
        plan, taken = self.plan, []
        rests = plan.rows.rest_at == station.pk
        begins = np.where(plan.rows.station == station.pk, plan.begins, plan.rest_begins)[rests]
        edges = [minute_of(day) for day in self.mondays]
        for low, high in pairwise(edges):
            full = (np.minimum(plan.rest_ends[rests], high) - np.maximum(begins, low)).clip(min=0)
            taken.append(float(full.sum()) / 60)
        there = [station.places * (high - low) / 60 for low, high in pairwise(edges)]
        return Load(station.name, station.pk, tuple(taken), tuple(there))

    def of_people(self, names: dict[int, str]) -> list[Load]:
        """One load a person."""
        return [
            Load(names.get(person, ""), person, self.hours(self._person == row),
                 self._by_week(self.shop.capacity.hands[row]))
            for row, person in enumerate(self.shop.crew.people)
        ]  # fmt: skip

    def hours(self, mine: NDArray[np.bool_]) -> tuple[float, ...]:
        """Hours of some of the plan's rows in each week, without those in which their person is not there."""
        return tuple((self._ticks[:, mine].sum(axis=1) / TICKS_AN_HOUR).tolist())

    @cached_property
    def _ticks(self) -> NDArray[np.int64]:
        """Ticks of each row in each week."""
        cuts = pairwise(self.cuts.tolist())
        return np.array([self._attended(self._begin.clip(*cut), self._end.clip(*cut)) for cut in cuts])

    def _attended(self, first: NDArray[np.int64], last: NDArray[np.int64]) -> NDArray[np.int64]:
        """Ticks of each row from one tick to another at which its person is there; all where it needs nobody."""
        return self._there[self._person, last] - self._there[self._person, first]

    @cached_property
    def _there(self) -> NDArray[np.int64]:
        """Ticks so far at which each person is there; in the last row all of them, for work that needs nobody."""
        hands = self.shop.capacity.hands
        everybody = np.vstack((hands, np.ones((1, hands.shape[1]), dtype=bool)))
        return np.pad(np.cumsum(everybody, axis=1, dtype=np.int64), ((0, 0), (1, 0)))

    def _by_week(self, per_tick: NDArray[np.generic]) -> tuple[float, ...]:
        there = np.concatenate(([0], np.cumsum(per_tick, dtype=np.int64)))
        return tuple((np.diff(there[self.cuts]) / TICKS_AN_HOUR).tolist())

    def too_late_h(self, station: int, promised: dict[int, date]) -> float:
        """Hours at the station, in the next weeks or later, planned after the promise of their instrument.

        ``promised`` are the promises of builds that are late by the plan.
        """
        rows = self.plan.rows
        due = np.array([minute_of(promised[pk]) + 24 * 60 if pk in promised else 2**62 for pk in rows.build.tolist()])
        late = (rows.station == station) & (self.plan.begins >= due)
        return float(self._attended(self._begin, self._end)[late].sum()) / TICKS_AN_HOUR

    def hands_bind(self, station: int) -> bool:
        """Whether people rather than places limit the station in the next weeks."""
        row = self.shop.crew.station_rows[station]
        some = slice(self.cuts[0], self.cuts[min(NEAR, len(self.cuts) - 1)])
        return bool(self._able(row)[some].sum() < self.shop.capacity.places[row, some].sum(dtype=np.int64))


def tightest(loads: Collection[Load]) -> Load | None:
    """The station of the highest share; None where nothing is planned."""
    found = max(loads, key=lambda load: load.share, default=None)
    return found if found is not None and found.share > 0 else None


__all__ = ["NEAR", "TIGHT", "Load", "Loads", "tightest"]
