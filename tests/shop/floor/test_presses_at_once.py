"""Many windows press Done on one task: one counts, the others are shown how it is now."""

from __future__ import annotations

from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from uuid import uuid4

import pytest
from django.db import connection

from routing.models import EventKind, Task, TaskEvent
from routing.services import start_task
from tests.routing.made import NOW, TWO_MEET, build, task

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def started(manager) -> Task:
    made = build(manager, *TWO_MEET)
    return start_task(task_id=task(made, 0).pk, person=manager, now=NOW)


def pressed_at_once(client_of, person, on: Task, tokens: list[str]) -> list[tuple[int, bytes]]:
    """What each window was answered; all are let go at the same moment."""
    windows, gate = [client_of(person) for _ in tokens], Barrier(len(tokens))

    def press(window, token) -> tuple[int, bytes]:
        try:
            gate.wait()
            answer = window.post(f"/bench/task/{on.pk}/done/", {"press": token}, headers={"HX-Request": "true"})
            return answer.status_code, answer.content
        finally:
            connection.close()

    with ThreadPoolExecutor(len(tokens)) as pool:
        return list(pool.map(press, windows, tokens))


def done_events(of: Task) -> int:
    return TaskEvent.objects.filter(task=of, kind=EventKind.DONE).count()


def test_eight_windows_press_done_and_one_counts(client_of, manager, started):
    answers = pressed_at_once(client_of, manager, started, [str(uuid4()) for _ in range(8)])
    assert Counter(status for status, _ in answers) == {200: 1, 409: 7}
    assert all(b"Nothing was changed" in body for status, body in answers if status == 409)
    assert done_events(started) == 1


def test_one_token_pressed_twice_at_once_is_answered_twice_and_counts_once(client_of, manager, started):
    answers = pressed_at_once(client_of, manager, started, [str(uuid4())] * 2)
    assert answers == [(200, answers[0][1])] * 2
    assert done_events(started) == 1
