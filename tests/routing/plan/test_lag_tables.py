"""Waits in clock time on an axis of working ticks, against a search through the moments of a whole year."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import numpy as np
import pytest

from routing.plan.problem import Axis
from routing.workdays import WorkCalendar
from tests.routing.plan.invented import axis_of_days

DAY_HOURS = ((time(8), time(12)), (time(13), time(17)))
FORWARD, BACK = date(2026, 3, 29), date(2026, 10, 25)
NIGHT = ((time(0), time(6)),)
QUARTER = timedelta(minutes=15)


@pytest.fixture(scope="module")
def moments() -> list[tuple[datetime, datetime]]:
    """Working quarter-hours of 2026 in Lisbon: weekdays but three holidays, and both nights of the clock change."""
    calendar = WorkCalendar(
        "Europe/Lisbon", (*(DAY_HOURS,) * 5, (), ()),
        frozenset({date(2026, 4, 3), date(2026, 6, 10), date(2026, 12, 25)}), {FORWARD: NIGHT, BACK: NIGHT},
    )  # fmt: skip
    return [
        (opens + k * QUARTER, opens + (k + 1) * QUARTER)
        for day in (date(2026, 1, 1) + timedelta(days=n) for n in range(365))
        for opens, closes in calendar.openings(day)
        for k in range((closes - opens) // QUARTER)
    ]


@pytest.fixture(scope="module")
def axis(moments) -> Axis:
    epoch = datetime(1970, 1, 1, tzinfo=UTC)
    minutes = [[(moment - epoch) // timedelta(minutes=1) for moment in pair] for pair in moments]
    return Axis([begin for begin, _ in minutes], [end for _, end in minutes], [b // 1440 for b, _ in minutes])


def searched(moments, wait: timedelta) -> list[int]:
    """For each end, the first tick that begins late enough, looked for one by one."""
    found = []
    for end in range(len(moments) + 1):
        over = (moments[end - 1][1] if end else moments[0][0]) + wait
        tick = end
        while tick < len(moments) and moments[tick][0] < over:
            tick += 1
        found.append(tick)
    return found


@pytest.mark.parametrize("hours", [0, 1, 16, 24, 168, 336])
def test_every_end_of_a_year(axis, moments, hours):
    assert axis.lag_table(hours * 60).tolist() == searched(moments, timedelta(hours=hours))


def test_the_night_put_forward_has_an_hour_less_and_the_night_put_back_one_more(moments):
    nights = [sum(begin.date() == day for begin, _ in moments) for day in (FORWARD, BACK)]
    before = sum(begin.date() == date(2026, 10, 24) for begin, _ in moments)
    assert (nights[0], nights[1] + before) == (5 * 4, 7 * 4)


def test_an_end_at_the_close_of_a_day_is_not_the_opening_of_the_next():
    axis = axis_of_days(2)
    assert axis.lag_table(24 * 60 - 2 * 60)[8] == 8
    assert axis.lag_table(24 * 60)[8] == 16
    assert axis.lag_table_from_begins(24 * 60)[8] == 16
    assert axis.lag_table_from_begins(22 * 60)[0] == 8


def test_beyond_the_horizon_is_its_length():
    axis = axis_of_days(2)
    assert np.all(axis.lag_table(7 * 24 * 60) == 16)
    assert (axis.first_tick_at(0), axis.first_tick_at(10 * 60), axis.first_tick_at(10**6)) == (0, 8, 16)
