"""Many hands at once: one winner, nothing lost, nothing twice, on SQLite and on PostgreSQL alike."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from typing import Any

import pytest
from django.db import connection

from routing.errors import WrongState
from routing.models import EventKind, TaskEvent, TaskState
from routing.said import moment_said
from routing.services import done_task, next_number, start_task
from tests.routing.made import NOW, TWO_MEET, build, person, task

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(*acts: Callable[[], Any]) -> list[Any]:
    """What each act returned or how it was refused, all let go at the same moment in threads of their own."""
    gate = Barrier(len(acts))

    def run(act: Callable[[], Any]) -> Any:
        try:
            gate.wait()
            return act()
        except WrongState as refusal:
            return refusal
        finally:
            connection.close()

    with ThreadPoolExecutor(len(acts)) as pool:
        return list(pool.map(run, acts))


@pytest.fixture
def hand(db):
    return person("dunlin", stations=("fret-bench", "body-bench", "assembly-bench"))


def test_twenty_presses_of_done_have_one_winner(hand):
    made = build(hand, *TWO_MEET)
    one = start_task(task_id=task(made, 0).pk, person=hand, now=NOW)
    answers = at_once(*[lambda: done_task(task_id=one.pk, person=hand, now=NOW)] * 20)
    refusals = [answer for answer in answers if isinstance(answer, WrongState)]
    assert len(refusals) == 19
    assert {str(refusal) for refusal in refusals} == {f"Fretting on C26-0001 is done, by dunlin, {moment_said(NOW)}."}
    assert TaskEvent.objects.filter(task=one, kind=EventKind.DONE).count() == 1


def test_twenty_hands_reach_for_one_task(hand):
    made = build(hand, *TWO_MEET)
    hands = [person(f"tern{place}", "manager") for place in range(20)]
    answers = at_once(*[lambda who=who: start_task(task_id=task(made, 0).pk, person=who, now=NOW) for who in hands])
    winners = [answer.person for answer in answers if not isinstance(answer, WrongState)]
    assert winners == [task(made, 0).person]
    assert TaskEvent.objects.count() == 1


@pytest.mark.parametrize("time", range(5))
def test_two_predecessors_done_at_once_make_the_follower_ready(hand, time):
    made = build(hand, *TWO_MEET)
    both = [start_task(task_id=task(made, place).pk, person=hand, now=NOW) for place in (0, 1)]
    at_once(*[lambda one=one: done_task(task_id=one.pk, person=hand, now=NOW) for one in both])
    assert task(made, 2).state == TaskState.READY
    assert TaskEvent.objects.filter(kind=EventKind.DONE).count() == 2


def test_sellers_at_eight_desks_get_eight_numbers(transactional_db):
    numbers = at_once(*[lambda: next_number(prefix="C26")] * 8)
    assert sorted(numbers) == [f"C26-{number:04d}" for number in range(1, 9)]
