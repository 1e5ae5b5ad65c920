"""The backlog as a problem: small shops read back and counted by hand; one is planned to its end."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import numpy as np
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from routing.models import Batch, Build, Kind, Station, Task, TaskState
from routing.plan.rules import least_slack
from routing.plan.serial import dispatch
from routing.planning.assumed import as_long_again
from routing.planning.backlog import Backlog, read_backlog
from routing.planning.frozen import Planned
from routing.services import done_task, hold_task, pause_task, start_task
from specs.models import Pattern
from tests.routing.made import NOW, TWO_MEET, build, person, station, task

pytestmark = pytest.mark.django_db
TODAY = date(2026, 4, 13)
TICKS = 12
"""Of 1, 2 and 4 hours: 13/6 mean, 8 % rework, 80 % of attendance useful: 2.925 h, in quarter-hours rounded up."""

DAYS = 120
ONE = (("Fretting", "fret-bench", (), 0),)
COAT = (
    ("Clear coats, nitrocellulose", "spray-booth", (), 24),
    ("Cure, nitrocellulose", "cure-rack", ("Clear coats, nitrocellulose",), 240),
    ("Level sanding", "fret-bench", ("Cure, nitrocellulose",), 0),
)


@pytest.fixture(autouse=True)
def _lisbon(settings):
    settings.TIME_ZONE = "Europe/Lisbon"


@pytest.fixture
def hand(db):
    return person("dunlin", stations=("fret-bench", "body-bench", "assembly-bench", "spray-booth", "sales-desk"))


def read(**more) -> Backlog:
    found = read_backlog(NOW, days=DAYS, **more)
    found.problem.check()
    return found


def row(found: Backlog, made: Build, position: int) -> int:
    return found.tasks.tolist().index(task(made, position).pk)


def clock(found: Backlog, tick: int) -> datetime:
    return datetime.fromtimestamp(int(found.problem.axis.begins[tick]) * 60, NOW.tzinfo)


def test_tasks_their_time_and_what_they_wait_for(hand):
    made = build(hand, *TWO_MEET)
    work = read().problem.work
    assert work.ticks.tolist() == [TICKS] * 3
    assert work.after_ptr.tolist() == [0, 0, 0, 2]
    assert work.after.tolist() == [0, 1]
    assert work.lag_minutes[work.lag].tolist() == [0, 1440]
    assert (work.order.tolist(), work.earliest.tolist(), work.weight.tolist()) == ([0] * 3, [0] * 3, [made.weight])


def test_builds_do_not_mix_and_what_is_done_is_gone(hand):
    first, second = build(hand, *TWO_MEET), build(hand, *TWO_MEET, serial="C26-0002")
    first.tasks.filter(position=0).update(state=TaskState.DONE, done_at=NOW)
    Build.objects.create(serial="C26-0003", spec=first.spec, line="custom", made_at=NOW, cancelled_at=NOW)
    found = read()
    assert found.tasks.tolist() == [*first.tasks.filter(position__gt=0).values_list("pk", flat=True),
                                    *second.tasks.values_list("pk", flat=True)]  # fmt: skip
    assert found.problem.work.after.tolist() == [0, 2, 3]
    assert [order.build for order in found.orders] == [first.pk, second.pk]


def test_a_running_wait_keeps_the_task_ready_or_not(hand):
    made = build(hand, *TWO_MEET)
    made.tasks.filter(position=1).update(state=TaskState.DONE, done_at=NOW - timedelta(hours=2))
    made.tasks.filter(position=0).update(ready_at=NOW + timedelta(hours=2))
    found = read()
    earliest = found.problem.work.earliest
    assert clock(found, earliest[row(found, made, 0)]) == NOW + timedelta(hours=2)
    assert clock(found, earliest[row(found, made, 2)]) == NOW + timedelta(hours=23), "22 hours, and the shop opens"


def test_a_task_on_the_bench_stays_with_whoever_has_it_for_what_is_left(hand):
    made = build(hand, *TWO_MEET)
    start_task(task_id=task(made, 0).pk, person=hand, now=NOW - timedelta(minutes=60))
    found = read()
    work, at = found.problem.work, row(found, made, 0)
    assert (work.fixed[at], work.fixed_person[at]) == (0, found.shop.crew.person_rows[hand.pk])
    assert work.ticks[at] == np.ceil((13 / 6 - 1) * 1.08 / 0.8 * 4)


def test_a_paused_task_has_its_touched_hours_behind_it_and_is_free(hand):
    made = build(hand, *ONE)
    start_task(task_id=task(made, 0).pk, person=hand, now=NOW - timedelta(hours=30))
    pause_task(task_id=task(made, 0).pk, person=hand, now=NOW - timedelta(hours=29))
    work = read().problem.work
    assert (work.fixed.tolist(), work.ticks.tolist()) == ([-1], [np.ceil((13 / 6 - 1) * 1.08 / 0.8 * 4)])


def test_of_two_tasks_in_the_same_hands_the_last_taken_up_goes_on(hand):
    made = build(hand, *TWO_MEET)
    start_task(task_id=task(made, 0).pk, person=hand, now=NOW - timedelta(minutes=60))
    start_task(task_id=task(made, 1).pk, person=hand, now=NOW - timedelta(minutes=30))
    found = read()
    assert [int(found.problem.work.fixed[row(found, made, place)]) for place in (0, 1)] == [-1, 0]


def test_what_is_planned_for_today_and_tomorrow_is_frozen_in_its_turn(hand):
    made = build(hand, *TWO_MEET)
    later = build(hand, *ONE, serial="C26-0002")
    first, second, third = (task(made, place).pk for place in range(3))
    planned = {
        first: Planned(NOW, hand.pk),
        second: Planned(NOW + timedelta(hours=4, minutes=30), hand.pk),
        third: Planned(NOW + timedelta(hours=24), hand.pk),
        task(later, 0).pk: Planned(NOW + timedelta(days=2), hand.pk),
    }
    found = read(planned=planned)
    work = found.problem.work
    assert [int(work.fixed[row(found, made, place)]) for place in range(3)] == [0, 14, -1]
    assert work.fixed[row(found, later, 0)] == -1


def test_a_planned_start_that_no_longer_fits_is_free(hand):
    other = person("knot", stations=("fret-bench",))
    made, held = build(hand, *ONE), build(hand, *ONE, serial="C26-0002")
    start_task(task_id=task(made, 0).pk, person=hand, now=NOW)
    hold_task(task_id=task(held, 0).pk, person=hand, now=NOW, reason="board lifts")
    third = build(hand, *ONE, serial="C26-0003")
    Station.objects.update(places=3)
    planned = {task(held, 0).pk: Planned(NOW, other.pk), task(third, 0).pk: Planned(NOW, hand.pk)}
    found = read(planned=planned)
    assert [int(found.problem.work.fixed[row(found, each, 0)]) for each in (made, held, third)] == [0, -1, -1]


def test_a_hold_is_taken_to_last_as_long_again(hand):
    made = build(hand, *TWO_MEET)
    hold_task(task_id=task(made, 0).pk, person=hand, now=NOW - timedelta(days=6), reason="board lifts")
    found = read()
    (assumed,) = found.assumed
    assert (assumed.why, assumed.reason, assumed.until) == ("held", "board lifts", NOW + timedelta(days=6))
    assert clock(found, found.problem.work.earliest[row(found, made, 0)]) >= NOW + timedelta(days=6)
    assert as_long_again(NOW, NOW) == NOW + timedelta(days=2)
    assert as_long_again(NOW - timedelta(days=90), NOW) == NOW + timedelta(days=30)


@pytest.mark.parametrize(("stood", "assumed"), [(60, []), (96, [("customer", 4)])])
def test_a_silent_customer_is_given_as_long_again_once_the_usual_wait_is_over(hand, stood, assumed):
    made = build(hand, ("Specification sign-off by customer", "sales-desk", (), 72))
    made.tasks.update(ready_at=NOW - timedelta(hours=stood))
    assert [(each.why, (each.until - NOW).days) for each in read().assumed] == assumed


def test_promises_are_due_at_the_end_of_their_day_and_late_ones_before_now(hand):
    """Promised on Thursday, now is Monday at nine: all of Friday and an hour late."""
    for serial, days in (("1", 0), ("2", 1), ("3", -4)):
        build(hand, *ONE, serial=serial, promise=TODAY + timedelta(days=days))
    build(hand, *ONE, serial="4")
    found = read()
    horizon = len(found.problem.axis)
    assert found.problem.work.due.tolist() == [28, 60, -36, horizon]


def test_an_unreleased_build_waits_for_its_day(hand):
    day = TODAY + timedelta(days=2)
    for serial, more in (("1", {"release_date": day}), ("2", {"release_date": day, "released_at": NOW})):
        build(hand, *ONE, serial=serial, **more)
    assert read().problem.work.release.tolist() == [60, 0]


def test_a_coat_takes_a_hook_while_it_cures_and_wet_work_is_done_in_one_go(hand):
    made = build(hand, *COAT)
    work = read().problem.work
    assert work.lag_minutes[work.rests[1]] == 240 * 60
    assert (work.rests[0], work.rests[2], work.one_day.tolist()) == (-1, -1, [True, False, False])
    made.tasks.filter(position__lt=2).update(state=TaskState.DONE, done_at=NOW - timedelta(hours=239))
    Station.objects.filter(slug="cure-rack").update(places=3)
    found = read()
    places = found.problem.capacity.places[found.shop.crew.station_rows[station("cure-rack").pk]]
    assert places.tolist()[:6] == [2, 2, 2, 2, 3, 3]


def test_what_follows_despatch_does_not_count_for_the_promise(hand):
    rows = (("Despatch and delivery", "sales-desk", (), 120),
            ("Follow-up after delivery", "sales-desk", ("Despatch and delivery",), 0))  # fmt: skip
    made = build(hand, *rows, promise=TODAY)
    found = read()
    assert [(order.build, order.leaves) for order in found.orders] == [(made.pk, True), (made.pk, False)]
    assert found.problem.work.weight.tolist() == [1, 0]
    assert found.problem.work.due.tolist() == [28, len(found.problem.axis)]
    assert found.problem.work.after.tolist() == [0]


def batch(hand) -> tuple[Build, list[Build]]:
    """A batch's one row between what is inspected and what is set up on its two instruments."""
    pattern = Pattern.objects.create(name="Dunlin", strings=4, line="series", document={})
    work = build(hand, ("Batch disposition", "body-bench", (), 24), serial="B26-0001")
    of = Batch.objects.create(
        number="B26-0001", partner="far shore", pattern=pattern, spec=work.spec, pieces=2, ordered_at=NOW,
        expected_on=TODAY,
    )  # fmt: skip
    rows = (("Batch sampling inspection", "fret-bench", (), 0),
            ("Series unboxing and first look", "fret-bench", ("Batch sampling inspection",), 0))  # fmt: skip
    made = [build(hand, *rows, serial=f"S26-000{number}", promise=TODAY) for number in (1, 2)]
    Build.objects.update(batch=of)
    Build.objects.filter(pk=work.pk).update(kind=Kind.BATCH)
    Task.objects.filter(operation="Batch disposition").update(beyond=["Batch sampling inspection"],
                                                              state=TaskState.NOT_READY)  # fmt: skip
    Task.objects.filter(position=1).update(beyond=["Batch disposition"])
    return work, made


def test_a_batch_and_its_instruments_are_planned_in_stages(hand):
    work, made = batch(hand)
    found = read()
    assert found.operations == [
        "Batch sampling inspection", "Batch sampling inspection", "Batch disposition",
        "Series unboxing and first look", "Series unboxing and first look",
    ]  # fmt: skip
    assert [order[:2] for order in found.orders] == [
        (made[0].pk, 0), (made[1].pk, 0), (work.pk, 1), (made[0].pk, 2), (made[1].pk, 2),
    ]  # fmt: skip
    assert [order.leaves for order in found.orders] == [False, False, True, True, True]
    assert found.problem.work.after.tolist() == [0, 1, 0, 2, 1, 2]
    assert found.problem.work.after_ptr.tolist() == [0, 0, 0, 2, 4, 6]


def test_a_wait_that_runs_beyond_the_build_keeps_it_too(hand):
    work, made = batch(hand)
    Task.objects.filter(build=work).update(state=TaskState.DONE, done_at=NOW)
    found = read()
    assert clock(found, found.problem.work.earliest[row(found, made[1], 1)]) == NOW + timedelta(hours=24)


def test_the_problem_can_be_planned_to_its_end(hand):
    made = build(hand, *TWO_MEET, promise=TODAY + timedelta(days=30))
    build(hand, *COAT, serial="C26-0002", promise=TODAY + timedelta(days=40))
    start_task(task_id=task(made, 0).pk, person=hand, now=NOW)
    found = read()
    plan = dispatch(found.problem, least_slack(found.problem))
    assert plan.start[row(found, made, 0)] == 0
    assert np.all(plan.end > plan.start)
    assert np.all(plan.end < len(found.problem.axis))


def test_as_long_a_horizon_as_the_work_needs_and_an_empty_shop(hand):
    assert len(read_backlog(NOW).problem.work) == 0
    for number in range(40):
        build(hand, *ONE, serial=f"C26-{number}")
    Task.objects.update(low_h=100, usual_h=100, high_h=100)
    found = read_backlog(NOW)
    assert dispatch(found.problem, least_slack(found.problem)).end.max() < len(found.problem.axis)


def test_one_build_asks_as_much_as_twenty(hand):
    def questions() -> int:
        with CaptureQueriesContext(connection) as caught:
            read_backlog(NOW, days=DAYS)
        return len(caught)

    build(hand, *COAT)
    few = questions()
    for number in range(2, 22):
        made = build(hand, *COAT, serial=f"C26-{number}")
        start_task(task_id=task(made, 0).pk, person=hand, now=NOW - timedelta(hours=1))
        if number % 3:
            done_task(task_id=task(made, 0).pk, person=hand, now=NOW)
        elif number % 2:
            hold_task(task_id=task(made, 0).pk, person=hand, now=NOW, reason="dust")
    assert (questions(), few) == (13, 13)
