"""Hours against hands, promises at risk, places work is stuck at: small shops counted by hand."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from routing.ahead import at_risk, cures_out, late, loads, standing, stuck, usual_stays
from routing.models import Build, Holiday, Task, TaskState
from tests.routing.made import NOW, TWO_MEET, build, person, task

pytestmark = pytest.mark.django_db
TODAY = date(2026, 4, 13)


@pytest.fixture
def hand(db):
    return person("dunlin", stations=("fret-bench",))


def released(hand, days: int, serial: str = "C26-0001") -> Build:
    return build(hand, *TWO_MEET, serial=serial, released_at=NOW, promise=TODAY + timedelta(days=days))


def load_at(slug: str) -> tuple[float, float, float]:
    load = next(load for load in loads(TODAY) if load.station.slug == slug)
    return (load.hours, load.hands, load.all_hours)


def test_work_is_spread_evenly_up_to_the_promise(hand):
    for days, serial in ((-3, "C26-0001"), (14, "C26-0002"), (28, "C26-0003"), (56, "C26-0004")):
        released(hand, days, serial)
    assert load_at("fret-bench") == (2 + 2 + 1 + 0.5, 60, 8)


def test_a_closed_day_takes_its_hands_and_drafts_need_none(hand):
    build(hand, *TWO_MEET, promise=TODAY)
    Holiday.objects.create(date=TODAY + timedelta(days=2), name="high water")
    assert load_at("fret-bench") == (0, 54, 0)


def test_done_work_is_no_longer_ahead(hand):
    made = released(hand, 0)
    made.tasks.filter(position=0).update(state=TaskState.DONE, done_at=NOW)
    assert load_at("fret-bench") == (0, 60, 0)
    assert load_at("body-bench") == (2, 0, 2)


def risks() -> list[tuple[str, float]]:
    return [(risk.build.serial, round(risk.left_days, 6)) for risk in at_risk(NOW, TODAY)]


def test_the_longest_chain_decides_what_is_at_risk(hand):
    """Two touch hours are 7/15 of a calendar day at six a workday: twice that and a day of rest is 1.933 days."""
    for days, serial in ((-1, "C26-0001"), (1, "C26-0002"), (2, "C26-0003"), (3, "C26-0004")):
        released(hand, days, serial)
    assert risks() == [("C26-0002", round(1 + 14 / 15, 6))]


def test_a_cure_that_runs_counts_what_is_left_of_it(hand):
    made = released(hand, 1)
    made.tasks.filter(position__lt=2).update(state=TaskState.DONE, done_at=NOW)
    made.tasks.filter(position=2).update(state=TaskState.READY, ready_at=NOW + timedelta(hours=12), wait_h=24)
    assert risks() == [("C26-0001", round(0.5 + 7 / 15 + 1, 6))]


def test_late_is_what_has_not_left_the_shop(hand):
    released(hand, -1)
    build(hand, ("Follow-up after delivery", "sales-desk", (), 0), serial="C26-0002", promise=TODAY - timedelta(days=1))
    assert [made.serial for made in late(TODAY)] == ["C26-0001"]


def test_a_task_is_stuck_after_twice_the_usual_stay(hand):
    lived = released(hand, 90, "C26-0001")
    lived.tasks.filter(position=0).update(
        state=TaskState.DONE, ready_at=NOW - timedelta(days=6), done_at=NOW - timedelta(days=4)
    )
    stays = usual_stays(NOW)
    station = task(lived, 0).station_id
    assert stays == {station: timedelta(days=2)}
    for days, serial in ((3, "C26-0002"), (5, "C26-0003")):
        released(hand, 90, serial).tasks.filter(position=0).update(ready_at=NOW - timedelta(days=days))
    assert [one.build.serial for one in stuck(NOW, stays, [station])] == ["C26-0003"]


def test_a_waiting_task_is_not_stuck(hand):
    made = released(hand, 90)
    made.tasks.filter(position=0).update(ready_at=NOW + timedelta(days=1))
    assert not stuck(NOW, {}, [task(made, 0).station_id]).exists()


def test_coats_come_out_of_cure_this_week(hand):
    rows = [("Cure, nitrocellulose", "cure-rack", (), 504), ("Oil cure", "cure-rack", (), 168)]
    made = build(hand, *rows)
    made.tasks.update(state=TaskState.DONE, done_at=NOW - timedelta(days=3))
    out = [(one.operation, at) for one, at in cures_out(NOW, NOW + timedelta(days=7))]
    assert out == [("Oil cure", NOW + timedelta(days=4))]


def test_a_build_stands_where_it_is_held_before_where_it_is_ready(hand):
    made = released(hand, 90)
    Task.objects.filter(build=made, position=1).update(state=TaskState.HELD)
    assert standing([made.pk]) == {made.pk: task(made, 1)}
