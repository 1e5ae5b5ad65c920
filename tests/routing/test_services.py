"""What a person may do to a task, and what follows from it."""

from __future__ import annotations

from datetime import timedelta

import pytest

from routing.errors import NotAllowed, WrongState
from routing.models import EventKind, Hold, Task, TaskEvent, TaskState
from routing.services import (
    done_task,
    hold_task,
    lift_hold,
    pause_task,
    reopen_task,
    start_task,
    undo_last,
)
from tests.routing.made import JUDGED, MINUTE, NOW, TWO_MEET, build, person, task

pytestmark = pytest.mark.django_db
EVERYWHERE = ("fret-bench", "body-bench", "assembly-bench", "neck-bench", "inspection")


@pytest.fixture
def hand(db):
    return person("dunlin", stations=EVERYWHERE)


@pytest.fixture
def other(db):
    return person("knot", stations=EVERYWHERE)


@pytest.fixture
def made(hand):
    return build(hand, *TWO_MEET)


def finish(one: Task, who, at=NOW) -> Task:
    start_task(task_id=one.pk, person=who, now=at)
    return done_task(task_id=one.pk, person=who, now=at)


def kinds(one: Task) -> list[str]:
    return list(one.events.values_list("kind", flat=True))


def test_start_and_done_are_logged_with_the_minutes_between(made, hand):
    one = task(made, 0)
    start_task(task_id=one.pk, person=hand, now=NOW)
    done_task(task_id=one.pk, person=hand, now=NOW + 90 * MINUTE, readings={"action mm": 2.1}, note="tight slot")
    one = task(made, 0)
    assert (one.state, one.touched_s, one.person, one.done_at) == (TaskState.DONE, 5400, hand, NOW + 90 * MINUTE)
    last = one.events.last()
    assert (kinds(one), last.readings, last.note) == (["started", "done"], {"action mm": 2.1}, "tight slot")


def test_a_pause_keeps_the_seconds_and_gives_the_task_back(made, hand, other):
    one = task(made, 0)
    start_task(task_id=one.pk, person=hand, now=NOW)
    pause_task(task_id=one.pk, person=hand, now=NOW + 10 * MINUTE)
    assert (task(made, 0).state, task(made, 0).person) == (TaskState.READY, None)
    start_task(task_id=one.pk, person=other, now=NOW + 60 * MINUTE)
    done_task(task_id=one.pk, person=other, now=NOW + 65 * MINUTE)
    assert task(made, 0).touched_s == 900


def test_a_follower_is_ready_when_the_last_rest_is_out(made, hand):
    finish(task(made, 1), hand, NOW)
    assert task(made, 2).state == TaskState.NOT_READY
    finish(task(made, 0), hand, NOW + 60 * MINUTE)
    assert (task(made, 2).state, task(made, 2).ready_at) == (TaskState.READY, NOW + timedelta(hours=24))


def test_the_clock_keeps_a_waiting_task_from_starting_to_the_second(made, hand):
    finish(task(made, 0), hand)
    finish(task(made, 1), hand)
    out = NOW + timedelta(hours=24)
    with pytest.raises(WrongState, match="rest until Tue 14 Apr 2026"):
        start_task(task_id=task(made, 2).pk, person=hand, now=out - timedelta(seconds=1))
    assert start_task(task_id=task(made, 2).pk, person=hand, now=out).state == TaskState.ON_BENCH


def test_a_coat_cures_until(hand, other):
    cure = ("Cure, nitrocellulose", "inspection", (), 504)
    made = build(hand, cure, ("Level sanding", "neck-bench", ("Cure, nitrocellulose",), 0))
    finish(task(made, 0), hand)
    with pytest.raises(WrongState, match="waiting: cure until Mon 04 May 2026"):
        start_task(task_id=task(made, 1).pk, person=other, now=NOW)


def test_a_task_with_undone_predecessors_does_not_start_and_says_which(made, hand):
    with pytest.raises(WrongState, match=r"still to do before it: Fretting, Body edge"):
        start_task(task_id=task(made, 2).pk, person=hand, now=NOW)


def test_a_task_not_on_the_bench_is_not_done(made, hand):
    with pytest.raises(WrongState, match="ready and not on the bench"):
        done_task(task_id=task(made, 0).pk, person=hand, now=NOW)


def test_a_second_hand_learns_who_has_it(made, hand, other):
    start_task(task_id=task(made, 0).pk, person=hand, now=NOW)
    with pytest.raises(WrongState, match="on the bench with dunlin since Mon 13 Apr 2026"):
        start_task(task_id=task(made, 0).pk, person=other, now=NOW)


@pytest.mark.parametrize("act", [done_task, pause_task])
def test_what_one_person_has_another_does_not_end(made, hand, other, act):
    start_task(task_id=task(made, 0).pk, person=hand, now=NOW)
    with pytest.raises(NotAllowed, match="dunlin or a manager may"):
        act(task_id=task(made, 0).pk, person=other, now=NOW)
    act(task_id=task(made, 0).pk, person=person("avocet", "manager"), now=NOW)


def test_an_unqualified_hand_learns_who_may(made, hand):
    with pytest.raises(NotAllowed, match="knot is not qualified at Fret bench; a manager may, and: dunlin"):
        start_task(task_id=task(made, 0).pk, person=person("knot"), now=NOW)
    assert (task(made, 0).state, kinds(task(made, 0))) == (TaskState.READY, [])


def test_a_hold_point_is_signed_by_other_eyes(hand, other):
    made = build(hand, *JUDGED)
    finish(task(made, 0), hand)
    with pytest.raises(NotAllowed, match="somebody signs who did not do the work before it, not dunlin"):
        start_task(task_id=task(made, 1).pk, person=hand, now=NOW)
    finish(task(made, 1), other)
    made.refresh_from_db()
    assert made.finished_at == NOW


def test_even_a_manager_does_not_sign_for_his_own_work(hand):
    made, boss = build(hand, *JUDGED), person("avocet", "manager")
    finish(task(made, 0), boss)
    with pytest.raises(NotAllowed):
        start_task(task_id=task(made, 1).pk, person=boss, now=NOW)


def test_a_hold_takes_the_task_off_the_bench_and_lifting_puts_it_back(made, hand, other):
    one = task(made, 0)
    start_task(task_id=one.pk, person=hand, now=NOW)
    hold_task(task_id=one.pk, person=other, now=NOW + MINUTE, reason="board lifts at the heel")
    assert (task(made, 0).state, task(made, 0).person, task(made, 0).touched_s) == (TaskState.HELD, None, 60)
    with pytest.raises(WrongState, match=r"held: board lifts at the heel \(knot\)"):
        start_task(task_id=one.pk, person=hand, now=NOW + MINUTE)
    lift_hold(task_id=one.pk, person=hand, now=NOW + 5 * MINUTE)
    assert (task(made, 0).state, kinds(one)) == (TaskState.READY, ["started", "held", "lifted"])


def test_a_hold_on_a_task_not_ready_is_lifted_to_what_its_predecessors_say(made, hand):
    hold_task(task_id=task(made, 2).pk, person=hand, now=NOW, reason="parts missing")
    finish(task(made, 0), hand)
    assert task(made, 2).state == TaskState.HELD
    lift_hold(task_id=task(made, 2).pk, person=hand, now=NOW)
    assert task(made, 2).state == TaskState.NOT_READY
    hold_task(task_id=task(made, 2).pk, person=hand, now=NOW, reason="parts missing")
    finish(task(made, 1), hand)
    lift_hold(task_id=task(made, 2).pk, person=hand, now=NOW)
    assert (task(made, 2).state, task(made, 2).ready_at) == (TaskState.READY, NOW + timedelta(hours=24))


def test_a_hold_needs_a_reason_and_a_done_task_takes_none(made, hand):
    with pytest.raises(WrongState, match="reason"):
        hold_task(task_id=task(made, 0).pk, person=hand, now=NOW, reason="  ")
    finish(task(made, 0), hand)
    with pytest.raises(WrongState, match="done, by dunlin"):
        hold_task(task_id=task(made, 0).pk, person=hand, now=NOW, reason="scratch")
    assert not Hold.objects.exists()


def test_reopening_takes_the_followers_back(made, hand):
    finish(task(made, 0), hand)
    finish(task(made, 1), hand)
    reopen_task(task_id=task(made, 0).pk, person=hand, now=NOW + 60 * MINUTE, reason="one fret high")
    assert [task(made, place).state for place in range(3)] == [TaskState.READY, TaskState.DONE, TaskState.NOT_READY]
    assert task(made, 0).events.last().note == "one fret high"


def test_reopening_is_too_late_once_a_follower_has_started(made, hand):
    finish(task(made, 0), hand)
    finish(task(made, 1), hand)
    later = NOW + timedelta(hours=25)
    start_task(task_id=task(made, 2).pk, person=hand, now=later)
    pause_task(task_id=task(made, 2).pk, person=hand, now=later)
    with pytest.raises(WrongState, match="Too late: Neck joined to body has been started"):
        reopen_task(task_id=task(made, 0).pk, person=hand, now=later, reason="one fret high")
    assert task(made, 0).state == TaskState.DONE


def test_undo_within_the_minute_is_a_new_event(made, hand):
    one = task(made, 0)
    finish(task(made, 1), hand)
    start_task(task_id=one.pk, person=hand, now=NOW)
    done_task(task_id=one.pk, person=hand, now=NOW + 30 * MINUTE)
    undo_last(task_id=one.pk, person=hand, now=NOW + 31 * MINUTE)
    one = task(made, 0)
    assert (one.state, one.person, one.started_at, one.done_at) == (TaskState.ON_BENCH, hand, NOW, None)
    assert (one.touched_s, task(made, 2).state) == (0, TaskState.NOT_READY)
    assert (kinds(one), one.events.last().undoes.kind) == (["started", "done", "undone"], EventKind.DONE)


def test_undo_after_the_minute_by_somebody_else_or_twice_is_refused(made, hand, other):
    one = task(made, 0)
    finish(one, hand)
    with pytest.raises(WrongState, match="minute is over"):
        undo_last(task_id=one.pk, person=hand, now=NOW + timedelta(seconds=61))
    with pytest.raises(NotAllowed, match="dunlin pressed it"):
        undo_last(task_id=one.pk, person=other, now=NOW)
    undo_last(task_id=one.pk, person=person("avocet", "manager"), now=NOW + MINUTE)
    with pytest.raises(WrongState, match="nothing to undo"):
        undo_last(task_id=one.pk, person=hand, now=NOW + MINUTE)


def test_undo_of_done_is_refused_once_a_follower_has_started(hand):
    made = build(hand, TWO_MEET[0], ("Fret end bevel and dressing", "fret-bench", ("Fretting",), 0))
    finish(task(made, 0), hand)
    start_task(task_id=task(made, 1).pk, person=hand, now=NOW)
    with pytest.raises(WrongState, match="Fret end bevel"):
        undo_last(task_id=task(made, 0).pk, person=hand, now=NOW)


def test_undo_of_a_hold_lifts_it_and_undo_of_lifting_holds_again(made, hand):
    one = task(made, 0)
    hold_task(task_id=one.pk, person=hand, now=NOW, reason="chip")
    undo_last(task_id=one.pk, person=hand, now=NOW)
    assert (task(made, 0).state, Hold.objects.filter(lifted_at=None).count()) == (TaskState.READY, 0)
    hold_task(task_id=one.pk, person=hand, now=NOW, reason="chip")
    lift_hold(task_id=one.pk, person=hand, now=NOW)
    undo_last(task_id=one.pk, person=hand, now=NOW)
    assert (task(made, 0).state, Hold.objects.get(lifted_at=None).reason) == (TaskState.HELD, "chip")


def test_undo_of_a_hold_reads_what_happened_meanwhile(made, hand):
    hold_task(task_id=task(made, 2).pk, person=hand, now=NOW, reason="parts missing")
    finish(task(made, 0), hand)
    finish(task(made, 1), hand)
    undo_last(task_id=task(made, 2).pk, person=hand, now=NOW)
    assert task(made, 2).state == TaskState.READY


def test_a_cancelled_build_moves_no_more(made, hand):
    made.cancelled_at = NOW
    made.save()
    with pytest.raises(WrongState, match="C26-0001 was cancelled"):
        start_task(task_id=task(made, 0).pk, person=hand, now=NOW)


def test_the_log_is_one_line_a_change(made, hand):
    finish(task(made, 0), hand)
    assert TaskEvent.objects.count() == 2
