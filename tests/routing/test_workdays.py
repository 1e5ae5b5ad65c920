"""Working time against counting minute by minute, over both clock changes, holidays and odd hours.

Clock-change nights of 2026 in Europe/Lisbon: 29 March (01:00 becomes 02:00) and 25 October (02:00 becomes 01:00);
in America/Sao_Paulo 4 November 2018 has no midnight. **Source**: the IANA time zone database, through zoneinfo.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routing.workdays import WorkCalendar

MINUTE = timedelta(minutes=1)
DAY_SHIFT = ((time(8), time(12)), (time(12, 30), time(16, 30)))
NIGHT_SHIFT = ((time(0), time(1, 30)), (time(1, 45), time(6)), (time(22), time(0)))
FREE = ()

SHOP = WorkCalendar(
    "Europe/Lisbon",
    (DAY_SHIFT,) * 5 + (FREE, FREE),
    frozenset({date(2026, 4, 3), date(2026, 10, 26), date(2026, 10, 27)}),
    {date(2026, 3, 28): ((time(9), time(11)),), date(2026, 10, 27): ((time(13), time(15)),)},
)
NIGHTS = WorkCalendar("Europe/Lisbon", (NIGHT_SHIFT,) * 7, frozenset({date(2026, 3, 30)}))
NO_MIDNIGHT = WorkCalendar("America/Sao_Paulo", (NIGHT_SHIFT,) * 7)

SPRING = datetime(2026, 3, 26, tzinfo=UTC)
AUTUMN = datetime(2026, 10, 23, tzinfo=UTC)
NOVEMBER_2018 = datetime(2018, 11, 2, tzinfo=UTC)
WEEKS = [(SHOP, SPRING), (SHOP, AUTUMN), (NIGHTS, SPRING), (NIGHTS, AUTUMN), (NO_MIDNIGHT, NOVEMBER_2018)]
BEFORE_START_MINUTES = 2_000
COUNTED_MINUTES = 20_000


def shows_working_time(calendar, moment):
    """Read the wall clock and look it up; no arithmetic."""
    local = moment.astimezone(ZoneInfo(calendar.zone))
    day, clock = local.date(), local.time()
    if day in calendar.exceptions:
        hours = calendar.exceptions[day]
    else:
        hours = FREE if day in calendar.holidays else calendar.weekdays[day.weekday()]
    return any(first <= clock and (clock < last or last == time(0)) for first, last in hours)


def counted(calendar, begin):
    """All working minutes, as the UTC moments at which they begin."""
    moments = (begin + place * MINUTE for place in range(COUNTED_MINUTES))
    return [moment for moment in moments if shows_working_time(calendar, moment)]


COUNTED = {place: counted(*week) for place, week in enumerate(WEEKS)}


@settings(derandomize=True, deadline=None, max_examples=400)
@given(
    st.integers(0, len(WEEKS) - 1), st.integers(0, BEFORE_START_MINUTES), st.integers(0, 1_500), st.integers(0, 15_000)
)
def test_equals_counting_minutes(week, start_minute, work_minutes, span_minutes):
    calendar, begin = WEEKS[week]
    start = begin + start_minute * MINUTE
    from_start = [moment for moment in COUNTED[week] if moment >= start]
    assert calendar.next_work_moment(start) == from_start[0]
    done = from_start[work_minutes - 1] + MINUTE if work_minutes else start
    assert calendar.add_work(start, work_minutes / 60) == done
    end = start + span_minutes * MINUTE
    minutes = sum(moment < end for moment in from_start)
    assert calendar.work_between(start, end) == pytest.approx(minutes / 60, abs=1e-12)
    assert calendar.work_between(end, start) == -calendar.work_between(start, end)


@pytest.mark.parametrize("week", range(len(WEEKS)))
def test_every_minute_is_told_right(week):
    calendar, begin = WEEKS[week]
    moments = [begin + place * 7 * MINUTE for place in range(1_440)]
    working = set(COUNTED[week])
    assert [calendar.is_working(moment) for moment in moments] == [moment in working for moment in moments]


def test_work_carries_over_lunch_night_weekend_and_holiday():
    thursday_noon = datetime(2026, 4, 2, 15, 30, tzinfo=ZoneInfo("Europe/Lisbon"))
    assert SHOP.add_work(thursday_noon, 1) == datetime(2026, 4, 2, 15, 30, tzinfo=UTC)
    assert SHOP.add_work(thursday_noon, 1.5) == datetime(2026, 4, 6, 7, 30, tzinfo=UTC)


def test_the_clock_change_moves_the_opening_in_utc():
    assert SHOP.openings(date(2026, 3, 27))[0][0] == datetime(2026, 3, 27, 8, tzinfo=UTC)
    assert SHOP.openings(date(2026, 3, 30))[0][0] == datetime(2026, 3, 30, 7, tzinfo=UTC)


def test_a_whole_night_is_an_hour_shorter_in_spring_and_longer_in_autumn():
    every_night = WorkCalendar("Europe/Lisbon", (((time(0), time(6)),),) * 7)
    spans = [every_night.openings(date(2026, month, day)) for month, day in ((3, 29), (3, 31), (10, 25))]
    assert [[(closes - opens) / timedelta(hours=1) for opens, closes in day] for day in spans] == [[5], [6], [7]]


@pytest.mark.parametrize(
    "hours",
    [((time(9), time(8)),), ((time(9), time(9)),), ((time(8), time(12)), (time(11), time(13))),
     ((time(8), time(0)), (time(1), time(2)))],
)  # fmt: skip
def test_hours_that_overlap_or_run_backwards_are_refused(hours):
    with pytest.raises(ValueError, match="working hours must"):
        WorkCalendar("Europe/Lisbon", (hours,) + (DAY_SHIFT,) * 6)


def test_a_calendar_without_work_or_zone_is_refused():
    with pytest.raises(ValueError, match="seven weekdays"):
        WorkCalendar("Europe/Lisbon", (FREE,) * 7)
    with pytest.raises(ZoneInfoNotFoundError):
        WorkCalendar("Coast/Nowhere", (DAY_SHIFT,) * 7)


def test_bad_questions_are_refused():
    with pytest.raises(ValueError, match="time zone"):
        SHOP.add_work(datetime(2026, 4, 2, 8), 1)
    with pytest.raises(ValueError, match="negative"):
        SHOP.add_work(SPRING, -1)
