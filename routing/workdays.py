"""Working time: on which minutes of which days a shop works, local clock changes and holidays included.

A moment is working time while the local clock shows a time within the day's hours; so the night the clock is put
back holds one hour more of it, if the shop works then, and the night it is put forward one hour less.
Waits are not working time: they are true elapsed hours, added in UTC.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

Hours = tuple[tuple[time, time], ...]
Opening = tuple[datetime, datetime]

_DAY = timedelta(days=1)
_MIDNIGHT = time()


@dataclass(frozen=True)
class WorkCalendar:
    """Hours of work by weekday (Monday first) in local time; an end of 00:00 is the end of the day.

    ``exceptions`` gives a date hours of its own and outranks ``holidays``, which are free days.
    Raises ``ValueError`` for hours that overlap, run backwards, or leave no weekday to work on, and
    ``ZoneInfoNotFoundError`` for an unknown zone.
    """

    zone: str
    weekdays: tuple[Hours, Hours, Hours, Hours, Hours, Hours, Hours]
    holidays: frozenset[date] = frozenset()
    exceptions: Mapping[date, Hours] = field(default_factory=dict, hash=False)
    _tz: ZoneInfo = field(init=False, repr=False, compare=False)
    _days: dict[date, tuple[Opening, ...]] = field(init=False, repr=False, compare=False, default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_tz", ZoneInfo(self.zone))
        if len(self.weekdays) != 7 or not any(self.weekdays):
            raise ValueError("seven weekdays are needed, at least one of them with working hours")
        for hours in (*self.weekdays, *self.exceptions.values()):
            _require_rising(hours)

    def openings(self, day: date) -> tuple[Opening, ...]:
        """The stretches of working time of that local day, as pairs of UTC moments, rising."""
        if day not in self._days:
            self._days[day] = self._computed_openings(day)
        return self._days[day]

    def is_working(self, moment: datetime) -> bool:
        """Whether the shop works at that moment."""
        return self.next_work_moment(moment) == moment

    def next_work_moment(self, start: datetime) -> datetime:
        """The moment itself where it is working time, else the next opening; UTC."""
        return next(self._from(_utc(start)))[0]

    def add_work(self, start: datetime, hours: float) -> datetime:
        """The UTC moment at which that many hours of work, begun at ``start`` or the next opening, are done.

        No hours end where they start, and work that fills an opening ends at its close.
        Raises ``ValueError`` for a negative number or a moment without zone.
        """
        left = timedelta(hours=hours)
        if left < timedelta():
            raise ValueError("hours of work cannot be negative")
        moment = _utc(start)
        if not left:
            return moment
        for opens, closes in self._from(moment):
            if left <= closes - opens:
                return opens + left
            left -= closes - opens
        raise AssertionError("openings never end")

    def work_between(self, start: datetime, end: datetime) -> float:
        """Hours of working time from start to end; negative where the end comes first."""
        start, end = _utc(start), _utc(end)
        if end < start:
            return -self.work_between(end, start)
        worked = timedelta()
        for opens, closes in self._from(start):
            if opens >= end:
                break
            worked += min(closes, end) - opens
        return worked / timedelta(hours=1)

    def _from(self, moment: datetime) -> Iterator[Opening]:
        """All openings from a UTC moment on, the first one cut off where it is already under way."""
        day = moment.astimezone(self._tz).date()
        while True:
            for opens, closes in self.openings(day):
                if closes > moment:
                    yield (opens if opens > moment else moment), closes
            day += _DAY

    def _hours(self, day: date) -> Hours:
        if day in self.exceptions:
            return self.exceptions[day]
        return () if day in self.holidays else self.weekdays[day.weekday()]

    def _computed_openings(self, day: date) -> tuple[Opening, ...]:
        """Hours cut by the stretches of one clock; what touches across a clock change is one opening."""
        openings: list[Opening] = []
        for begins, ends, offset in self._clocks(day):
            for first, last in self._hours(day):
                opens = max(begins, _shown(day, first, offset))
                closes = min(ends, _shown(day if last != _MIDNIGHT else day + _DAY, last, offset))
                if opens < closes:
                    _join(openings, (opens, closes))
        return tuple(openings)

    def _clocks(self, day: date) -> list[tuple[datetime, datetime, timedelta]]:
        """The local day as stretches of UTC with one offset each: one, or two on the day of a clock change."""
        begins, ends = self._midnight(day), self._midnight(day + _DAY)
        before, after = self._offset(begins), self._offset(ends - timedelta.resolution)
        if before == after:
            return [(begins, ends, before)]
        low, high = begins, ends
        while high - low > timedelta.resolution:
            middle = low + (high - low) / 2
            low, high = (middle, high) if self._offset(middle) == before else (low, middle)
        return [(begins, high, before), (high, ends, after)]

    def _midnight(self, day: date) -> datetime:
        return datetime.combine(day, _MIDNIGHT, self._tz).astimezone(UTC)

    def _offset(self, moment: datetime) -> timedelta:
        return moment.astimezone(self._tz).utcoffset() or timedelta()


def _shown(day: date, clock: time, offset: timedelta) -> datetime:
    """The UTC moment at which a clock of that offset shows the day and time."""
    return datetime.combine(day, clock, UTC) - offset


def _join(openings: list[Opening], more: Opening) -> None:
    if openings and openings[-1][1] == more[0]:
        openings[-1] = (openings[-1][0], more[1])
    else:
        openings.append(more)


def _utc(moment: datetime) -> datetime:
    if moment.tzinfo is None:
        raise ValueError("a moment needs its time zone")
    return moment.astimezone(UTC)


def _require_rising(hours: Hours) -> None:
    edges = [edge for first, last in hours for edge in (first, last)]
    if edges and edges[-1] == _MIDNIGHT:
        edges[-1] = time.max
    if any(later <= earlier for earlier, later in zip(edges[:-1:2], edges[1::2], strict=True)):
        raise ValueError(f"working hours must run forward: {hours}")
    if any(opens < closed for closed, opens in zip(edges[1:-1:2], edges[2::2], strict=True)):
        raise ValueError(f"working hours must not overlap: {hours}")
