"""A build gets its tasks from its spec, keeps what was lived, and follows the spec until release."""

from __future__ import annotations

import copy
from datetime import timedelta

import pytest

from routing.catalogue import OPERATIONS
from routing.errors import WrongState
from routing.expand import build_rows
from routing.models import TaskState
from routing.services import done_task, hold_task, make_build, respec_build, start_task, undo_last
from specs.facts import OrderFacts
from specs.models import Spec
from specs.starters import starter
from tests.routing.made import NOW, person

pytestmark = pytest.mark.django_db
FACTS = OrderFacts()
LIVED = [operation.name for operation in OPERATIONS if operation.lived_on_order]
RELEASE = next(operation.name for operation in OPERATIONS if operation.releases)


@pytest.fixture
def boss(db):
    return person("avocet", "manager")


@pytest.fixture
def spec(boss):
    return Spec.objects.create(entered=starter(5), made_by=boss)


@pytest.fixture
def made(spec, boss):
    lived = {name: (NOW - timedelta(days=9 - place), boss) for place, name in enumerate(LIVED)}
    return make_build(serial="C26-0007", spec=spec, facts=FACTS, lived=lived, promise=None, person=boss, now=NOW)


def rows_of(build) -> list[tuple]:
    tasks = list(build.tasks.select_related("station").order_by("position"))
    names = {task.position: task.operation for task in tasks}
    return [
        (task.operation, task.station.name, tuple(names[place] for place in task.after), task.usual_h, task.wait_h)
        for task in tasks
    ]


def expanded(spec) -> list[tuple]:
    rows = build_rows(spec.build_spec(), FACTS)
    return [(row.operation, row.station, row.after, row.touch_h.usual, row.wait_h) for row in rows]


def test_a_build_holds_the_expanded_network(made, spec):
    assert rows_of(made) == expanded(spec)


def test_what_was_lived_is_done_with_its_times_and_logged(made):
    done = made.tasks.filter(state=TaskState.DONE).order_by("position")
    assert [task.operation for task in done] == LIVED
    assert [task.events.get().at for task in done] == [task.done_at for task in done]


def test_what_follows_the_deposit_is_ready_when_its_wait_is_out(made):
    last = made.tasks.get(operation=LIVED[-1])
    ready = made.tasks.filter(state=TaskState.READY)
    assert {task.ready_at for task in ready} == {last.done_at + timedelta(hours=last.wait_h)}


def test_a_respec_follows_the_spec_and_keeps_what_is_done(made, spec, boss):
    document = copy.deepcopy(spec.entered)
    document["neck"] = {**document.get("neck", {}), "construction": "neck-through"}
    document["pickups"] = document["pickups"]
    changed = Spec.objects.create(entered=document, made_by=boss)
    respec_build(build=made, spec=changed, facts=FACTS, person=boss, now=NOW)
    made.refresh_from_db()
    assert (rows_of(made), made.spec) == (expanded(changed), changed)
    assert made.tasks.filter(state=TaskState.DONE).count() == len(LIVED)
    respec_build(build=made, spec=spec, facts=FACTS, person=boss, now=NOW)
    assert rows_of(made) == expanded(spec)


def test_a_respec_keeps_holds(made, spec, boss):
    held = made.tasks.filter(state=TaskState.NOT_READY).last()
    hold_task(task_id=held.pk, person=boss, now=NOW, reason="string set not here")
    respec_build(build=made, spec=spec, facts=FACTS, person=boss, now=NOW)
    held.refresh_from_db()
    assert held.state == TaskState.HELD


def test_work_done_that_falls_away_keeps_its_log_and_holds_nothing_up(made, spec, boss):
    dropped = made.tasks.get(operation="Fretting")
    made.tasks.filter(pk=dropped.pk).update(state=TaskState.DONE, done_at=NOW, person=boss)
    document = copy.deepcopy(spec.entered)
    document["fingerboard"] = {**document["fingerboard"], "frets_kind": "unlined fretless"}
    changed = Spec.objects.create(entered=document, made_by=boss)
    respec_build(build=made, spec=changed, facts=FACTS, person=boss, now=NOW)
    assert rows_of(made)[:-1] == expanded(changed)
    assert rows_of(made)[-1][:3] == ("Fretting", "Fret bench", ())


def test_release_is_done_from_the_desk_and_ends_respecs_and_undo(made, spec, boss):
    late = NOW + timedelta(days=30)
    while (task := made.tasks.exclude(operation=RELEASE).ready(late).first()) and not made.tasks.filter(
        operation=RELEASE, state=TaskState.READY
    ).exists():
        signer = boss if task.position % 2 else person(f"tern{task.position}", "manager")
        start_task(task_id=task.pk, person=signer, now=late)
        done_task(task_id=task.pk, person=signer, now=late)
        late += timedelta(days=10)
    release = made.tasks.get(operation=RELEASE)
    done_task(task_id=release.pk, person=boss, now=late)
    made.refresh_from_db()
    assert made.released_at == late
    with pytest.raises(WrongState, match="no draft any more"):
        respec_build(build=made, spec=spec, facts=FACTS, person=boss, now=late)
    with pytest.raises(WrongState, match="not taken back"):
        undo_last(task_id=release.pk, person=boss, now=late)
