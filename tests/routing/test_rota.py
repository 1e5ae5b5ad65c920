"""Who is at work when: against a brute-force walk through every quarter-hour of a year with both clock changes."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from routing.rota import Rota, joined, length_h, quarters, shared, stretch, week_of, worked
from routing.workdays import WorkCalendar

LISBON = "Europe/Lisbon"
DAY = ((480, 720), (780, 1020))
SHOP = (*(DAY,) * 5, (), ())
HALF = week_of([(0, (480, 720)), (2, (480, 720)), (2, (780, 900)), (5, (540, 600))])
FEAST, SATURDAY, SHORT = date(2026, 6, 10), date(2026, 3, 14), date(2026, 12, 24)
ROTA = Rota(
    week=SHOP,
    closed=frozenset({FEAST, SATURDAY}),
    own_days={SATURDAY: ((480, 720),), SHORT: ((480, 660),)},
    weeks={2: HALF},
    away={1: [(date(2026, 8, 3), date(2026, 8, 16))]},
    overtime={
        1: {FEAST: ((600, 700),), date(2026, 8, 4): ((1020, 1080),)},
        2: {date(2026, 3, 29): ((0, 240),), date(2026, 10, 25): ((0, 240),)},
    },
)


def test_hours_join_and_cut():
    assert joined([(600, 700), (480, 600), (690, 710)]) == ((480, 710),)
    assert shared([(480, 720), (780, 1020)], [(700, 800)]) == ((700, 720), (780, 800))
    assert stretch(time(22), time()) == (1320, 1440)
    assert length_h(DAY) == 8


@pytest.mark.parametrize(
    ("person", "day", "hours"),
    [
        (1, date(2026, 4, 14), DAY),
        (1, date(2026, 4, 18), ()),
        (1, SATURDAY, ((480, 720),)),
        (2, SATURDAY, ((540, 600),)),
        (2, date(2026, 4, 15), ((480, 720), (780, 900))),
        (2, date(2026, 4, 14), ()),
        (1, SHORT, ((480, 660),)),
        (2, SHORT, ()),
        (1, FEAST, ((600, 700),)),
        (2, FEAST, ()),
        (1, date(2026, 8, 4), ()),
    ],
    ids=[
        "the shop's day", "no Saturday", "a worked Saturday outranks a closed day", "an own week is cut to it",
        "an own week on its day", "and off it", "a short day", "off on a short day", "overtime on a feast",
        "a feast is free", "away goes before overtime",
    ],
)  # fmt: skip
def test_when_somebody_works(person, day, hours):
    assert ROTA.at_work(person, day) == hours


def brute(person: int, minute: int) -> bool:
    """Told from the clock on the wall, one quarter-hour at a time, by other rules than the grid's."""
    shown = datetime.fromtimestamp(minute * 60, UTC).astimezone(ZoneInfo(LISBON))
    at = shown.hour * 60 + shown.minute
    day = shown.date()
    if person == 1 and date(2026, 8, 3) <= day <= date(2026, 8, 16):
        return False
    if day == FEAST:
        return person == 1 and at in range(600, 686)
    if person == 2 and day in (date(2026, 3, 29), date(2026, 10, 25)) and at < 240:
        return True
    usual = {
        1: at in range(480, 720) or at in range(780, 1020) if shown.weekday() < 5 else False,
        2: {0: 480 <= at < 720, 2: 480 <= at < 720 or 780 <= at < 900, 5: 540 <= at < 600}.get(shown.weekday(), False),
    }
    if day == SATURDAY:
        return 480 <= at < 720 and (person == 1 or usual[2])
    if day == SHORT:
        return 480 <= at < 660 and usual[person]
    return usual[person]


@pytest.mark.parametrize("person", [1, 2])
def test_every_quarter_of_a_year_agrees_with_brute_force(person):
    found = quarters(LISBON, datetime(2026, 1, 1, tzinfo=UTC), datetime(2027, 1, 1, tzinfo=UTC))
    assert len(found.begins) == 365 * 96
    at_work = worked(found, lambda day: ROTA.at_work(person, day))
    assert at_work.tolist() == [brute(person, int(minute)) for minute in found.begins]


def test_the_night_the_clock_is_put_back_holds_five_of_four_hours_and_forward_three():
    for day, hours in ((date(2026, 10, 25), 5), (date(2026, 3, 29), 3)):
        begin = datetime.combine(day, time(), ZoneInfo(LISBON)).astimezone(UTC)
        found = quarters(LISBON, begin, begin + timedelta(days=1))
        assert np.count_nonzero(worked(found, lambda day: ROTA.at_work(2, day))) == 4 * hours


@pytest.mark.parametrize("zone", [LISBON, "Australia/Lord_Howe", "Asia/Kathmandu", "America/Sao_Paulo"])
def test_local_days_and_clocks_agree_with_the_zone_table(zone):
    begin = datetime(2018, 1, 1, tzinfo=UTC)
    found = quarters(zone, begin, begin + timedelta(days=600))
    shown = [datetime.fromtimestamp(int(minute) * 60, UTC).astimezone(ZoneInfo(zone)) for minute in found.begins]
    assert found.day.tolist() == [each.date().toordinal() - date(1970, 1, 1).toordinal() for each in shown]
    assert found.place.tolist() == [(each.hour * 60 + each.minute) // 15 for each in shown]


def test_the_shop_s_quarters_are_the_calendar_s_openings():
    calendar = WorkCalendar(
        LISBON, (*(((time(8), time(12)), (time(13), time(17))),) * 5, (), ()), frozenset({FEAST}),
        {SATURDAY: ((time(8), time(12)),), SHORT: ((time(8), time(11)),)},
    )  # fmt: skip
    begin = datetime(2026, 1, 1, tzinfo=UTC)
    found = quarters(LISBON, begin, begin + timedelta(days=365))
    open_at = worked(found, ROTA.shop)
    moments = [datetime.fromtimestamp(int(minute) * 60, UTC) for minute in found.begins]
    assert open_at.tolist() == [calendar.is_working(moment) for moment in moments]


def test_a_quarter_counts_only_if_it_lies_wholly_in_the_hours():
    begin = datetime(2026, 4, 13, tzinfo=UTC)
    found = quarters("UTC", begin, begin + timedelta(days=1))
    places = found.place[worked(found, lambda _day: ((485, 550),))]
    assert [int(place) * 15 for place in places] == [495, 510, 525]


def test_quarters_begin_at_the_next_and_end_before_the_last():
    begin = datetime(2026, 4, 13, 8, 1, tzinfo=UTC)
    found = quarters("UTC", begin, begin + timedelta(minutes=40))
    assert (found.place * 15).tolist() == [495]
    with pytest.raises(ValueError, match="no quarter-hour"):
        quarters("UTC", begin, begin)
    with pytest.raises(ValueError, match="time zone"):
        quarters("UTC", datetime(2026, 4, 13), begin)
