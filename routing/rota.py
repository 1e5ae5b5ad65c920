"""The rota: which stretches of which day the shop and each of its people work, from plain values; its quarter-hours.

Stretches are minutes of the local day, 0 to 1440. Waits know nothing of it: they are true elapsed time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from typing import NamedTuple
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

QUARTER = 15
DAY = 24 * 60
QUARTERS = DAY // QUARTER
EPOCH = date(1970, 1, 1).toordinal()

Stretch = tuple[int, int]
Stretches = tuple[Stretch, ...]
Week = tuple[Stretches, Stretches, Stretches, Stretches, Stretches, Stretches, Stretches]
Days = tuple[date, date]


def stretch(begins: time, ends: time) -> Stretch:
    """Minutes of the day; an end of 00:00 is the end of the day."""
    return _minute(begins), _minute(ends) or DAY


def week_of(rows: Iterable[tuple[int, Stretch]]) -> Week:
    """A week from pairs of weekday (Monday 0) and stretch."""
    given = list(rows)
    return tuple(joined(each for day, each in given if day == weekday) for weekday in range(7))  # type: ignore[return-value]


@dataclass(frozen=True)
class Rota:
    """The shop's week, closed days and days with hours of their own (which outrank closed ones); people's own weeks,
    days away and overtime by person."""

    week: Week
    closed: frozenset[date] = frozenset()
    own_days: Mapping[date, Stretches] = field(default_factory=dict)
    weeks: Mapping[int, Week] = field(default_factory=dict)
    away: Mapping[int, Sequence[Days]] = field(default_factory=dict)
    overtime: Mapping[int, Mapping[date, Stretches]] = field(default_factory=dict)

    def shop(self, day: date) -> Stretches:
        """When the shop works on that day."""
        if day in self.own_days:
            return self.own_days[day]
        return () if day in self.closed else self.week[day.weekday()]

    def at_work(self, person: int, day: date) -> Stretches:
        """When the person works on that day.

        Whoever has no week of their own works when the shop does. An own week goes before the shop's on ordinary
        days; a closed day is free for all, and on a day with hours of its own an own week is cut down to them.
        Overtime comes on top, on any day; nobody works while away.
        """
        if self.is_away(person, day):
            return ()
        return joined((*self._usual(person, day), *self.overtime.get(person, {}).get(day, ())))

    def is_away(self, person: int, day: date) -> bool:
        """Whether the day lies in an absence of the person."""
        return any(first <= day <= last for first, last in self.away.get(person, ()))

    def _usual(self, person: int, day: date) -> Stretches:
        if person not in self.weeks:
            return self.shop(day)
        own = self.weeks[person][day.weekday()]
        if day in self.own_days:
            return shared(own, self.own_days[day])
        return () if day in self.closed else own


def joined(stretches: Iterable[Stretch]) -> Stretches:
    """The same time without overlaps, rising; what touches is one stretch."""
    found: list[Stretch] = []
    for begins, ends in sorted(stretches):
        if found and begins <= found[-1][1]:
            found[-1] = (found[-1][0], max(ends, found[-1][1]))
        else:
            found.append((begins, ends))
    return tuple(found)


def shared(one: Iterable[Stretch], other: Iterable[Stretch]) -> Stretches:
    """The time that lies in both."""
    other = list(other)
    cut = ((max(a, c), min(b, d)) for a, b in one for c, d in other)
    return joined((begins, ends) for begins, ends in cut if begins < ends)


def length_h(stretches: Iterable[Stretch]) -> float:
    """Hours in all."""
    return sum(ends - begins for begins, ends in stretches) / 60


class Quarters(NamedTuple):
    """Quarter-hours of clock time: UTC minutes since 1970 at which each begins, its local day (days since 1970), and
    its place in that day as the clock shows it, 0 to 95."""

    begins: NDArray[np.int64]
    day: NDArray[np.int64]
    place: NDArray[np.int64]

    @property
    def days(self) -> list[date]:
        """Every local day from the first to the last."""
        return [date.fromordinal(EPOCH + int(day)) for day in range(int(self.day[0]), int(self.day[-1]) + 1)]


def quarters(zone: str, begin: datetime, end: datetime) -> Quarters:
    """The whole quarter-hours from one moment to another.

    The night the clock is put back shows an hour twice and both count; the night it is put forward leaves one out.
    Raises ``ValueError`` where there is none.
    """
    first, last = -(-_seconds(begin) // (QUARTER * 60)), _seconds(end) // (QUARTER * 60)
    begins = np.arange(int(first), int(last), dtype=np.int64) * QUARTER
    if not len(begins):
        raise ValueError("no quarter-hour lies between the two moments")
    shown = begins + _offsets(ZoneInfo(zone), begins)
    return Quarters(begins, shown // DAY, shown % DAY // QUARTER)


def worked(found: Quarters, stretches_of: Callable[[date], Stretches]) -> NDArray[np.bool_]:
    """For each quarter-hour, whether it lies wholly in a stretch of its day."""
    rows = np.array([_row(stretches_of(day)) for day in found.days], dtype=bool)
    return rows[found.day - found.day[0], found.place]


def _row(stretches: Stretches) -> list[bool]:
    row = [False] * QUARTERS
    for begins, ends in stretches:
        first, last = -(-begins // QUARTER), ends // QUARTER
        row[first:last] = [True] * max(0, last - first)
    return row


def _offsets(zone: ZoneInfo, begins: NDArray[np.int64]) -> NDArray[np.int64]:
    """Minutes the local clock is ahead of UTC at each moment; looked up once a day, and closer where it changes."""
    changes = [int(begins[0])]
    offsets = [_offset(zone, changes[0])]
    for day in range(changes[0], int(begins[-1]) + 1, DAY):
        for minute in _closer(zone, day, offsets[-1], int(begins[-1])):
            if (offset := _offset(zone, minute)) != offsets[-1]:
                changes.append(minute)
                offsets.append(offset)
    return np.array(offsets, dtype=np.int64)[np.searchsorted(np.array(changes), begins, side="right") - 1]


def _closer(zone: ZoneInfo, day: int, offset: int, last: int) -> Iterable[int]:
    """The quarters of the day that begins there, where its end no longer has that offset."""
    end = min(day + DAY, last)
    return range(day, end + 1, QUARTER) if _offset(zone, end) != offset else ()


def _offset(zone: ZoneInfo, minute: int) -> int:
    shown = datetime.fromtimestamp(minute * 60, UTC).astimezone(zone).utcoffset()
    return 0 if shown is None else int(shown.total_seconds() // 60)


def _seconds(moment: datetime) -> float:
    if moment.tzinfo is None:
        raise ValueError("a moment needs its time zone")
    return moment.timestamp()


def _minute(clock: time) -> int:
    return clock.hour * 60 + clock.minute
