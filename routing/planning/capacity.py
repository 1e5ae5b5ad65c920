"""The shop's capacity for the plan: working time from now on, places of each station, people at work and able."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from django.conf import settings
from django.utils import timezone
from numpy.typing import NDArray

from routing.attendance import PlacesOut
from routing.catalogue import STATIONS
from routing.models import Qualification, Station
from routing.plan.problem import Axis, Capacity
from routing.planning.rota import read_rota
from routing.rota import EPOCH, QUARTER, Quarters, Rota, quarters, worked

WAITS_ONLY = frozenset(row.slug for row in STATIONS if row.waits_only)
HORIZON_DAYS = 730


@dataclass(frozen=True)
class Crew:
    """Stations in shop-walk order, people, and who may work where, by database key."""

    stations: list[Station]
    people: list[int]
    able: NDArray[np.bool_]

    @property
    def station_rows(self) -> dict[int, int]:
        """The row of each station."""
        return {station.pk: row for row, station in enumerate(self.stations)}

    @property
    def person_rows(self) -> dict[int, int]:
        """The row of each person."""
        return {person: row for row, person in enumerate(self.people)}


def read_crew(also: Collection[int] = ()) -> Crew:
    """Everybody who is qualified and may sign in, and ``also`` those, who have work in hand without; two queries."""
    stations = list(Station.objects.all())
    rows = list(Qualification.objects.filter(person__is_active=True).values_list("person_id", "station_id"))
    people = sorted({person for person, _station in rows} | set(also))
    crew = Crew(stations, people, np.zeros((len(people), len(stations)), dtype=bool))
    place, hand = crew.station_rows, crew.person_rows
    for person, station in rows:
        crew.able[hand[person], place[station]] = True
    return crew


@dataclass(frozen=True)
class ShopCapacity:
    """Axis and capacity with what their rows mean; ``local_day`` is each tick's local day (days since 1970)."""

    axis: Axis
    capacity: Capacity
    crew: Crew
    local_day: NDArray[np.int64]

    def end_of(self, day: date) -> int:
        """The end (exclusive) of the last tick on that day or before; 0 where all working time comes after."""
        return int(np.searchsorted(self.local_day, day.toordinal() - EPOCH, side="right"))

    def begin_of(self, day: date) -> int:
        """The first tick on that day or after; the number of ticks where there is none."""
        return int(np.searchsorted(self.local_day, day.toordinal() - EPOCH))

    def tick_at(self, moment: datetime) -> int:
        """The first tick that begins at that moment or after."""
        return self.axis.first_tick_at(int(np.ceil(moment.timestamp() / 60)))


def shop_capacity(now: datetime, days: int = HORIZON_DAYS, crew: Crew | None = None) -> ShopCapacity:
    """Working time of so many days from ``now`` on and who and what is there in it; eight queries, six with a crew.

    A tick is a quarter-hour in which the shop or anybody works. Clock changes: hours of work are local, ticks are
    quarter-hours that really pass.
    """
    crew = crew or read_crew()
    until = now + timedelta(days=days)
    first, last = timezone.localdate(now), timezone.localdate(until)
    rota = read_rota(first, last)
    clock = quarters(settings.TIME_ZONE, now, until)
    shop = worked(clock, rota.shop)
    hands = _hands(crew.people, rota, clock, shop)
    ticks = np.flatnonzero(shop | hands.any(axis=0))
    day = clock.day[ticks]
    axis = Axis(clock.begins[ticks], clock.begins[ticks] + QUARTER, np.unique(day, return_inverse=True)[1])
    places = _places(crew, day, first, last)
    needs_hands = np.array([station.slug not in WAITS_ONLY for station in crew.stations], dtype=bool)
    return ShopCapacity(axis, Capacity(places, hands[:, ticks], crew.able, needs_hands), crew, day)


def _hands(people: list[int], rota: Rota, clock: Quarters, shop: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Who is at work in each quarter-hour; whoever has nothing of their own works when the shop does."""
    hands = np.zeros((len(people), len(shop)), dtype=bool)
    own: Mapping[int, object] = {**rota.weeks, **rota.away, **rota.overtime}
    for row, person in enumerate(people):
        hands[row] = worked(clock, lambda day, who=person: rota.at_work(who, day)) if person in own else shop
    return hands


def _places(crew: Crew, day: NDArray[np.int64], first: date, last: date) -> NDArray[np.int16]:
    """Places of each station at each tick, without those out of use."""
    usual = np.array([station.places for station in crew.stations], dtype=np.int16)
    places = np.repeat(usual[:, None], len(day), axis=1)
    rows = PlacesOut.objects.filter(first__lte=last, last__gte=first)
    place = crew.station_rows
    for station, begins, ends, out in rows.values_list("station_id", "first", "last", "places"):
        gone = slice(*np.searchsorted(day, [begins.toordinal() - EPOCH, ends.toordinal() - EPOCH + 1]))
        places[place[station], gone] -= out
    return places.clip(min=0)
