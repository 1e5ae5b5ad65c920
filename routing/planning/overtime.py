"""Overtime laid into weeks: so many hours a week, an equal share after the last hour of each working day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from math import ceil
from typing import NamedTuple

import numpy as np
from django.utils import timezone
from numpy.typing import NDArray

from routing.changes import Change, day_of
from routing.planning.rota import read_rota
from routing.rota import EPOCH, QUARTER, Rota

DAY_END = 24 * 60
LATEST = 22 * 60
"""No overtime after ten at night. **Source**: common practice, no source."""


class Over(NamedTuple):
    """A stretch of overtime: the day and its minutes from midnight."""

    day: date
    begins: int
    ends: int


def stretches(person: int, change: Change) -> list[Over]:
    """The stretches of one person; days away or with overtime already are left out; five queries."""
    first = day_of(change["first"])
    if first is None:
        return []
    monday = first - timedelta(days=first.weekday())
    last = monday + timedelta(days=7 * change["weeks"] - 1)
    rota = read_rota(first, last)
    weeks = [monday + timedelta(days=7 * week) for week in range(change["weeks"])]
    return [over for week in weeks for over in _week(person, rota, max(week, first), week, 60 * change["hours"])]


def _week(person: int, rota: Rota, first: date, monday: date, minutes: int) -> list[Over]:
    days = [monday + timedelta(days=ahead) for ahead in range(7)]
    free = [day for day in days if day >= first and _ends(person, rota, day)]
    share = QUARTER * ceil(minutes / max(1, len(free)) / QUARTER)
    found: list[Over] = []
    for day in free:
        begins, left = _ends(person, rota, day), minutes - sum(one.ends - one.begins for one in found)
        ends = min(begins + min(share, left), LATEST)
        if begins < ends:
            found.append(Over(day, begins, ends))
    return found


def _ends(person: int, rota: Rota, day: date) -> int:
    """When their day is over, in minutes from midnight; 0 where they are not there or stay longer already."""
    if day in rota.overtime.get(person, {}):
        return 0
    return max((ends for _begins, ends in rota.at_work(person, day)), default=0)


def begins_of(over: Sequence[Over]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The UTC minutes their quarter-hours begin at, and the local day (days since 1970) of each."""
    minutes = [_utc(one.day, at) for one in over for at in range(one.begins, one.ends, QUARTER)]
    days = [one.day.toordinal() - EPOCH for one in over for _at in range(one.begins, one.ends, QUARTER)]
    return np.array(minutes, dtype=np.int64), np.array(days, dtype=np.int64)


def _utc(day: date, minute: int) -> int:
    moment = datetime.combine(day, time()) + timedelta(minutes=minute)
    return int(timezone.make_aware(moment).timestamp() // 60)


def clock(minute: int) -> time:
    """A minute from midnight as a time of day; the end of the day is 00:00."""
    return time(minute // 60 % 24, minute % 60)
