"""Parts made ahead: made by ordinary work, rested, taken once by a build they fit, which then begins past them."""

from __future__ import annotations

from datetime import timedelta

import pytest

from routing.catalogue import operation
from routing.errors import WrongState
from routing.head_starts import make_head_starts, measure_of, take_head_start
from routing.models import Build, EventKind, Kind, Task, TaskState
from routing.parts import COVERED, NECK_BLANK, HeadStart, rest_of
from routing.services import done_task, make_build, start_task
from specs.facts import OrderFacts
from specs.models import Pattern, Spec
from specs.parsing import parse
from specs.starters import starter
from tests.routing.made import NOW, person

pytestmark = pytest.mark.django_db
OPERATIONS = COVERED[NECK_BLANK]
HOUR = timedelta(hours=1)


@pytest.fixture
def boss(db):
    return person("avocet", "manager")


@pytest.fixture
def pattern(db) -> Pattern:
    return Pattern.objects.create(name="Turnstone", strings=5, line="custom", document=starter(5))


@pytest.fixture
def work(pattern, boss) -> Build:
    return make_head_starts(pattern=pattern, pieces=4, person=boss, now=NOW)


def lived(work: Build, boss):
    """The work for stock done, each task an hour, as soon as the one before has rested; the moment it may be taken."""
    at = NOW
    for task in work.tasks.order_by("position"):
        at = max(at, Task.objects.get(pk=task.pk).ready_at)
        start_task(task_id=task.pk, person=boss, now=at)
        at += HOUR
        done_task(task_id=task.pk, person=boss, now=at)
    return at + rest_of(NECK_BLANK)


def ordered(boss, serial: str = "C26-0001", released: bool = True, entered: dict | None = None) -> Build:
    spec = Spec.objects.create(entered=entered or starter(5), made_by=boss)
    made = make_build(
        serial=serial, spec=spec, facts=OrderFacts(), lived={}, promise=None, person=boss, now=NOW
    )  # fmt: skip
    if released:
        Build.objects.filter(pk=made.pk).update(released_at=NOW)
    return made


def take(build: Build, boss, at, number: str = "N26-0001-1") -> HeadStart:
    return take_head_start(number=number, build=build, person=boss, now=at)


def test_stock_work_is_the_operations_of_the_part_for_all_pieces(work):
    assert (work.kind, work.serial) == (Kind.STOCK, "N26-0001")
    rows = {task.operation: task for task in work.tasks.all()}
    assert tuple(rows) == OPERATIONS
    for name, task in rows.items():
        assert task.usual_h == pytest.approx(4 * operation(name).touch_h.usual)
        assert task.wait_h == operation(name).wait_h
    assert list(work.head_starts.values_list("number", flat=True)) == [f"N26-0001-{place}" for place in (1, 2, 3, 4)]


def test_a_build_that_takes_one_begins_past_what_is_done(work, boss):
    at, build = lived(work, boss), ordered(boss)
    part = take(build, boss, at)
    made = {task.operation: task for task in work.tasks.all()}
    for task in build.tasks.filter(operation__in=OPERATIONS):
        like = made[task.operation]
        assert (task.state, task.started_at, task.done_at) == (TaskState.DONE, like.started_at, like.done_at)
        assert task.touched_s == 3600 // 4
        line = task.events.get()
        assert (line.kind, line.note, line.at) == (EventKind.DONE, "from stock N26-0001-1", like.done_at)
    assert (part.used_by, part.used_at) == (build, at)


def test_what_follows_is_ready_from_the_taking_on(work, boss):
    at, build = lived(work, boss) + 30 * 24 * HOUR, ordered(boss)
    take(build, boss, at)
    follower = build.tasks.get(operation="Headstock scarf, ears and headplate glue-up")
    assert (follower.state, follower.ready_at) == (TaskState.READY, at)
    start_task(task_id=follower.pk, person=boss, now=at)


def test_a_part_is_taken_once_and_a_build_takes_one(work, boss):
    at, first, second = lived(work, boss), ordered(boss), ordered(boss, "C26-0002")
    take(first, boss, at)
    with pytest.raises(WrongState, match="taken by C26-0001"):
        take(second, boss, at)
    with pytest.raises(WrongState, match="C26-0001 is past it"):
        take(first, boss, at, "N26-0001-2")
    assert HeadStart.objects.filter(used_by=None).count() == 3


def test_nothing_is_taken_before_it_is_made_and_rested(work, boss):
    build = ordered(boss)
    with pytest.raises(WrongState, match="not made yet"):
        take(build, boss, NOW)
    at = lived(work, boss)
    with pytest.raises(WrongState, match="rests until"):
        take(build, boss, at - timedelta(minutes=1))


def test_a_draft_and_a_build_under_way_take_nothing(work, boss):
    at, draft, begun = lived(work, boss), ordered(boss, released=False), ordered(boss, "C26-0002")
    with pytest.raises(WrongState, match="not released yet"):
        take(draft, boss, at)
    begun.tasks.filter(operation=OPERATIONS[0]).update(started_at=NOW)
    with pytest.raises(WrongState, match="past it"):
        take(begun, boss, at)
    with pytest.raises(WrongState, match="no instrument under way"):
        take(work, boss, at)


@pytest.mark.parametrize("change", [("neck", "wood", "wenge"), ("neck", "pieces", 3), ("scale", "bass", "36 in")])
def test_what_does_not_fit_is_not_taken(work, boss, change):
    section, key, value = change
    document = starter(5)
    document[section][key] = value
    at, build = lived(work, boss), ordered(boss, entered=document)
    with pytest.raises(WrongState, match="does not fit"):
        take(build, boss, at)


def test_a_measure_goes_by_the_longer_scale():
    spec = parse(starter(5))
    assert measure_of(spec).length_mm == round(max(spec.scale.bass_mm, spec.scale.treble_mm))


@pytest.mark.parametrize("pieces", [0, 13])
def test_a_number_out_of_reason_begins_nothing(pattern, boss, pieces):
    with pytest.raises(WrongState, match="From 1 to 12"):
        make_head_starts(pattern=pattern, pieces=pieces, person=boss, now=NOW)
    assert not Build.objects.exists()
