"""Who comes next at a station, and where a build stands on its way."""

from __future__ import annotations

from datetime import timedelta

import pytest

from routing.models import TaskState
from routing.plan.trial import RUSH_WEIGHT
from routing.queries import Stop, path, queue, stations_now
from routing.services import hold_task, start_task
from tests.routing.made import NOW, TWO_MEET, build, person, station, task

pytestmark = pytest.mark.django_db


@pytest.fixture
def boss(db):
    return person("avocet", "manager")


def serials(tasks) -> list[str]:
    return [one.build.serial for one in tasks]


def test_the_nearest_promise_comes_first_and_a_build_without_one_last(boss):
    for serial, days in (("C26-0001", None), ("C26-0002", 60), ("C26-0003", 30)):
        promise = None if days is None else (NOW + timedelta(days=days)).date()
        build(boss, *TWO_MEET, serial=serial, promise=promise)
    assert serials(queue(station(), NOW).ready) == ["C26-0003", "C26-0002", "C26-0001"]


def test_what_has_the_rush_tag_goes_before_the_nearest_promise(boss):
    build(boss, *TWO_MEET, serial="C26-0001", promise=(NOW + timedelta(days=3)).date())
    build(boss, *TWO_MEET, serial="C26-0002", promise=(NOW + timedelta(days=90)).date(), weight=int(RUSH_WEIGHT))
    assert serials(queue(station(), NOW).ready) == ["C26-0002", "C26-0001"]


def test_a_queue_tells_ready_bench_waiting_and_held_apart(boss):
    made = {
        serial: build(boss, *TWO_MEET, serial=serial) for serial in ("C26-0001", "C26-0002", "C26-0003", "C26-0004")
    }
    start_task(task_id=task(made["C26-0002"], 0).pk, person=boss, now=NOW)
    made["C26-0003"].tasks.filter(position=0).update(ready_at=NOW + timedelta(hours=1))
    hold_task(task_id=task(made["C26-0004"], 0).pk, person=boss, now=NOW, reason="wire")
    line = queue(station(), NOW)
    told = (serials(line.ready), serials(line.on_bench), serials(line.waiting), [one.held_because for one in line.held])
    assert told == (["C26-0001"], ["C26-0002"], ["C26-0003"], ["wire"])
    here = stations_now(NOW)[0]
    assert (here.station, here.ready, here.on_bench, here.waiting, here.held) == (station(), 1, 1, 1, 1)


def test_a_cancelled_build_leaves_every_queue(boss):
    build(boss, *TWO_MEET, cancelled_at=NOW)
    assert queue(station(), NOW).ready == []
    assert stations_now(NOW)[0].ready == 0


def test_a_path_says_what_is_done_where_it_is_and_what_is_ahead(boss):
    made = build(boss, *TWO_MEET)
    made.tasks.filter(position=0).update(state=TaskState.DONE, done_at=NOW)
    hold_task(task_id=task(made, 1).pk, person=boss, now=NOW, reason="dent")
    assert path(made) == [
        Stop("Fret bench", done=True, here=False, held=False),
        Stop("Body bench", done=False, here=True, held=True),
        Stop("Assembly bench", done=False, here=False, held=False),
    ]
