"""What may be released: the check line by line, and the rule of one for one (common practice, no source)."""

from __future__ import annotations

from datetime import timedelta

import pytest

from routing.releasing import DRAWN, PASSED, SIGNED, candidates, room
from routing.services import hold_task
from routing.standing import floor_now, set_limit
from tests.routing.made import NOW, build, task

pytestmark = pytest.mark.django_db
TODAY = NOW.date()
OFFICE = ((DRAWN, "drawing-and-cnc-programming", (), 0), (SIGNED, "sales-desk", (DRAWN,), 0))
NOT_CUT = (("Wood selection and customer approval", "timber-store", (), 0),)


def asked(one) -> dict[str, bool | None]:
    return {check.asked: check.holds for check in one.checks}


def test_a_build_in_line_shows_what_is_open_and_what_nobody_knows(manager):
    made = build(manager, *OFFICE)
    one = candidates({}, TODAY)[0]
    assert asked(one) == {
        "Deposit cleared": True, "Drawing made": False, "Specification signed": False, "No open question": True,
        "Finish within six weeks": None,
    }  # fmt: skip
    made.tasks.update(state="done", done_at=NOW)
    one = candidates({made.pk: TODAY + timedelta(days=20)}, TODAY)[0]
    assert one.may
    late = candidates({made.pk: TODAY + timedelta(days=60)}, TODAY)[0]
    assert [check.asked for check in late.stops] == ["Finish within six weeks"]


def test_an_open_hold_is_an_open_question_in_its_own_words(manager):
    made = build(manager, *OFFICE)
    hold_task(task_id=task(made, 0).pk, person=manager, now=NOW, reason="which side the knobs?")
    stops = candidates({}, TODAY)[0].stops
    assert stops[-1].why == "which side the knobs?"


def test_the_line_goes_by_promise_and_leaves_out_what_is_released_or_cancelled(manager):
    build(manager, *OFFICE, serial="C26-0001", promise=TODAY + timedelta(days=90))
    build(manager, *OFFICE, serial="C26-0002", promise=TODAY + timedelta(days=30))
    build(manager, *OFFICE, serial="C26-0003", released_at=NOW)
    build(manager, *OFFICE, serial="C26-0004", cancelled_at=NOW)
    build(manager, *OFFICE, serial="C26-0005")
    assert [one.build.serial for one in candidates({}, TODAY)] == ["C26-0002", "C26-0001", "C26-0005"]


def test_an_empty_slot_is_room_and_then_one_for_one(manager):
    set_limit(place="not-cut", most=2)
    assert room(floor_now(NOW), NOW).how_many == 2
    for at in range(2):
        build(manager, *NOT_CUT, serial=f"C26-000{at}", released_at=NOW - timedelta(days=20))
    assert room(floor_now(NOW), NOW).how_many == 0
    passed = build(manager, (PASSED, "inspection", (), 0), serial="C26-0009", released_at=NOW - timedelta(days=60))
    passed.tasks.update(state="done", done_at=NOW - timedelta(days=1))
    assert room(floor_now(NOW), NOW).how_many == 1


def test_a_place_over_its_limit_stops_the_release_before_it(manager):
    set_limit(place="unpaid", most=1)
    for at in range(2):
        build(
            manager, ("Balance invoice and payment", "sales-desk", (), 0), serial=f"C26-000{at}",
            released_at=NOW - timedelta(days=60),
        )  # fmt: skip
    found = room(floor_now(NOW), NOW)
    assert (found.how_many, [one.place.slug for one in found.full]) == (0, ["unpaid"])


def test_more_in_line_need_no_more_queries(manager, django_assert_num_queries):
    build(manager, *OFFICE)
    with django_assert_num_queries(3):
        candidates({}, TODAY)
    for at in range(10):
        build(manager, *OFFICE, serial=f"C26-01{at:02d}")
    with django_assert_num_queries(3):
        candidates({}, TODAY)
