"""A partner's batch: its rows counted once, its instruments held back until it is here and decided over."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from routing.batches import (
    DISPOSITION,
    RECEIVING,
    acclimate_batch,
    dispose_batch,
    instruments,
    make_batch,
    move_arrival,
    receive_batch,
)
from routing.errors import NotAllowed, WrongState
from routing.expand import batch_rows, expand
from routing.models import Build, Kind, Outcome, Task, TaskEvent, TaskState
from routing.services import done_task, reopen_task, start_task, undo_last
from specs.facts import OrderFacts
from specs.models import Pattern, Spec
from specs.starters import starter
from tests.routing.made import MINUTE, NOW, person
from tests.routing.test_races import at_once

pytestmark = pytest.mark.django_db
ARRIVAL = date(2026, 8, 19)
SERIES = OrderFacts(line="series")
COUNTED = timezone.make_aware(timezone.datetime(2026, 8, 19, 9))
SAMPLING, UNBOXING = "Batch sampling inspection", "Series unboxing and first look"


@pytest.fixture
def boss(db):
    return person("avocet", "manager")


@pytest.fixture
def batch(boss):
    return ordered(boss, pieces=3)


def ordered(boss, pieces):
    pattern, _new = Pattern.objects.get_or_create(
        name="Dunlin", defaults={"strings": 5, "line": "series", "document": starter(5)}
    )
    right, left = (Spec.objects.create(pattern=pattern, entered=starter(5, hand=hand), made_by=boss)
                   for hand in ("right", "left"))  # fmt: skip
    return make_batch(
        pattern=pattern, spec=right, left_spec=left, partner="Farshore Works", pieces=pieces, left_pieces=1,
        expected_on=ARRIVAL, person=boss, now=NOW,
    )  # fmt: skip


def work_of(batch):
    return batch.builds.get(kind=Kind.BATCH)


def task_of(build, name):
    return build.tasks.select_related("build", "station", "person").get(operation=name)


def press(build, name, who, at):
    """Started and done."""
    task = task_of(build, name)
    start_task(task_id=task.pk, person=who, now=at)
    return done_task(task_id=task.pk, person=who, now=at + MINUTE)


def arrive(batch, boss):
    """The partner's report and the customs entry, each as soon as its wait is out."""
    for name in ("Partner pre-shipment report", "Transit and customs entry"):
        press(work_of(batch), name, boss, task_of(work_of(batch), name).ready_at)


def counted(batch, boss, at=COUNTED, sample=1):
    arrive(batch, boss)
    serials = [build.serial for build in instruments(batch)]
    receive_batch(batch=batch, arrived=serials, sample=sample, person=boss, now=at, draw=lambda lot, n: lot[:n])
    batch.refresh_from_db()
    return batch


def sampled(batch, boss):
    """Counted, rested and its sample inspected."""
    counted(batch, boss)
    acclimate_batch(batch=batch, person=boss, now=COUNTED)
    at = COUNTED + timedelta(days=7)
    for build in instruments(batch).filter(is_drawn=True):
        press(build, SAMPLING, boss, at)
    return at + MINUTE


def states(batch, name):
    return [task_of(build, name).state for build in instruments(batch)]


def test_every_row_of_the_series_stands_once_on_the_batch_or_once_on_every_instrument(batch):
    spec = batch.spec.build_spec()
    counted_once = [row.operation for row in batch_rows(spec, SERIES)]
    whole = [row.operation for row in expand(spec, SERIES)]
    assert counted_once == [
        "Series batch order with approved sample and limits", "Partner pre-shipment report",
        "Transit and customs entry", "Batch disposition",
    ]  # fmt: skip
    assert list(work_of(batch).tasks.values_list("operation", flat=True)) == counted_once
    for build in instruments(batch):
        assert sorted([*counted_once, *build.tasks.values_list("operation", flat=True)]) == sorted(whole)


def test_a_custom_instrument_has_no_batch_rows(batch):
    assert batch_rows(batch.spec.build_spec(), OrderFacts()) == ()


def test_a_batch_numbers_itself_and_its_instruments_and_counts_the_left_handed(batch):
    assert (batch.number, [build.serial for build in instruments(batch)]) == (
        "B26-0001", ["S26-0001", "S26-0002", "S26-0003"],
    )  # fmt: skip
    assert [build.spec_id == batch.left_spec_id for build in instruments(batch)] == [True, False, False]


def test_ordering_is_lived_and_the_waits_end_on_the_expected_day(batch, boss):
    arrive(batch, boss)
    order = task_of(work_of(batch), "Series batch order with approved sample and limits")
    assert (order.state, order.done_at, order.person) == (TaskState.DONE, NOW, boss)
    ready = {task_of(build, RECEIVING.name).ready_at for build in instruments(batch)}
    midnight = timezone.make_aware(timezone.datetime(2026, 8, 19))
    assert max(abs(at - midnight) for at in ready) < timedelta(hours=2)


def test_an_instrument_waits_for_its_batch_to_arrive(batch, boss):
    assert states(batch, RECEIVING.name) == [TaskState.NOT_READY] * 3
    first = task_of(instruments(batch)[0], RECEIVING.name)
    with pytest.raises(WrongState, match="Transit and customs entry"):
        start_task(task_id=first.pk, person=boss, now=COUNTED)
    arrive(batch, boss)
    assert states(batch, RECEIVING.name) == [TaskState.READY] * 3


@pytest.mark.parametrize("day", [date(2026, 6, 1), date(2026, 11, 3)])
def test_another_arrival_shortens_or_lengthens_the_waits_still_to_come(batch, boss, day):
    move_arrival(batch=batch, expected_on=day, now=NOW)
    arrive(batch, boss)
    midnight = timezone.make_aware(timezone.datetime(day.year, day.month, day.day))
    assert abs(task_of(instruments(batch)[0], RECEIVING.name).ready_at - midnight) < timedelta(hours=2)
    assert work_of(batch).promise == day


def test_no_batch_arrives_before_it_was_ordered(batch):
    with pytest.raises(WrongState, match="before it was ordered"):
        move_arrival(batch=batch, expected_on=date(2026, 4, 1), now=NOW)


def test_a_batch_is_counted_once_with_its_sample_drawn(batch, boss):
    counted(batch, boss, sample=2)
    assert (batch.received, batch.received_at) == (3, COUNTED)
    assert states(batch, RECEIVING.name) == [TaskState.DONE] * 3
    assert [build.tasks.filter(operation=SAMPLING).count() for build in instruments(batch)] == [1, 1, 0]
    with pytest.raises(WrongState, match="counted in already: 3"):
        receive_batch(batch=batch, arrived=["S26-0001"], sample=1, person=boss, now=COUNTED)


def test_what_did_not_arrive_is_cancelled_and_holds_nothing_up(batch, boss):
    arrive(batch, boss)
    arrived = ["S26-0001", "S26-0003"]
    missing = receive_batch(
        batch=batch, arrived=arrived, sample=1, person=boss, now=COUNTED, draw=lambda lot, n: lot[:n]
    )
    assert [build.serial for build in missing] == ["S26-0002"]
    assert Build.objects.get(serial="S26-0002").cancelled_at == COUNTED
    acclimate_batch(batch=batch, person=boss, now=COUNTED)
    press(Build.objects.get(serial="S26-0001"), SAMPLING, boss, COUNTED + timedelta(days=7))
    assert task_of(work_of(batch), DISPOSITION.name).state == TaskState.READY


@pytest.mark.parametrize(("arrived", "sample"), [([], 1), (["S26-0001"], 2), (["S26-0001"], 0), (["S99-0001"], 1)])
def test_a_count_that_does_not_add_up_changes_nothing(batch, boss, arrived, sample):
    arrive(batch, boss)
    with pytest.raises(WrongState, match="nothing was counted"):
        receive_batch(batch=batch, arrived=arrived, sample=sample, person=boss, now=COUNTED)
    batch.refresh_from_db()
    assert (batch.received, instruments(batch).count()) == (None, 3)


def test_only_hands_of_the_station_count_in(batch, boss):
    arrive(batch, boss)
    with pytest.raises(NotAllowed, match="not qualified"):
        receive_batch(batch=batch, arrived=["S26-0001"], sample=1, person=person("tern"), now=COUNTED)


def test_the_disposition_waits_for_the_whole_sample(batch, boss):
    counted(batch, boss, sample=2)
    acclimate_batch(batch=batch, person=boss, now=COUNTED)
    at = COUNTED + timedelta(days=7)
    first, second = instruments(batch).filter(is_drawn=True)
    press(first, SAMPLING, boss, at)
    assert task_of(work_of(batch), DISPOSITION.name).state == TaskState.NOT_READY
    press(second, SAMPLING, boss, at)
    assert task_of(work_of(batch), DISPOSITION.name).state == TaskState.READY


def test_the_24_hours_after_the_disposition_are_waited_for(batch, boss):
    """**Source**: the trade's table, Batch disposition: waiting after, 24 h."""
    at = sampled(batch, boss)
    dispose_batch(batch=batch, outcome=Outcome.ACCEPTED, note="", person=boss, now=at)
    tasks = [task_of(build, UNBOXING) for build in instruments(batch).filter(is_drawn=True)]
    assert [(task.state, task.ready_at) for task in tasks] == [(TaskState.READY, at + timedelta(hours=24))]
    with pytest.raises(WrongState, match="waiting"):
        start_task(task_id=tasks[0].pk, person=boss, now=at + timedelta(hours=23, minutes=59))
    start_task(task_id=tasks[0].pk, person=boss, now=at + timedelta(hours=24))


def test_an_instrument_spared_the_sample_waits_for_its_rest_and_the_disposition(batch, boss):
    at = sampled(batch, boss)
    spared = instruments(batch).filter(is_drawn=False)[0]
    assert task_of(spared, UNBOXING).state == TaskState.NOT_READY
    dispose_batch(batch=batch, outcome=Outcome.TIGHTENED, note="two dull frets", person=boss, now=at)
    assert task_of(spared, UNBOXING).ready_at == at + timedelta(hours=24)
    assert TaskEvent.objects.filter(task__operation=DISPOSITION.name, kind="done").get().note == (
        "accepted, the next one inspected tightened: two dull frets"
    )


def test_a_disposition_taken_back_closes_every_instrument_again(batch, boss):
    at = sampled(batch, boss)
    dispose_batch(batch=batch, outcome=Outcome.ACCEPTED, note="", person=boss, now=at)
    undo_last(task_id=task_of(work_of(batch), DISPOSITION.name).pk, person=boss, now=at + timedelta(seconds=30))
    batch.refresh_from_db()
    assert (states(batch, UNBOXING), batch.outcome) == ([TaskState.NOT_READY] * 3, "")


def test_a_disposition_stays_once_an_instrument_was_unboxed(batch, boss):
    at = sampled(batch, boss)
    dispose_batch(batch=batch, outcome=Outcome.ACCEPTED, note="", person=boss, now=at)
    start_task(task_id=task_of(instruments(batch)[1], UNBOXING).pk, person=boss, now=at + timedelta(days=2))
    with pytest.raises(WrongState, match=f"Too late: {UNBOXING} has been started"):
        reopen_task(
            task_id=task_of(work_of(batch), DISPOSITION.name).pk, person=boss, now=at + timedelta(days=2), reason="look"
        )


def test_a_sampling_opened_again_takes_the_disposition_back_or_is_refused(batch, boss):
    at = sampled(batch, boss)
    drawn = instruments(batch).filter(is_drawn=True)[0]
    reopen_task(task_id=task_of(drawn, SAMPLING).pk, person=boss, now=at, reason="wrong sheet")
    assert task_of(work_of(batch), DISPOSITION.name).state == TaskState.NOT_READY
    press(drawn, SAMPLING, boss, at)
    dispose_batch(batch=batch, outcome=Outcome.ACCEPTED, note="", person=boss, now=at + MINUTE)
    with pytest.raises(WrongState, match=f"Too late: {DISPOSITION.name} has been started"):
        reopen_task(task_id=task_of(drawn, SAMPLING).pk, person=boss, now=at + MINUTE, reason="again")


def test_a_customs_entry_opened_again_closes_receiving_until_something_was_received(batch, boss):
    arrive(batch, boss)
    transit = task_of(work_of(batch), "Transit and customs entry")
    reopen_task(task_id=transit.pk, person=boss, now=COUNTED, reason="papers missing")
    assert states(batch, RECEIVING.name) == [TaskState.NOT_READY] * 3
    press(work_of(batch), "Transit and customs entry", boss, COUNTED)
    move_arrival(batch=batch, expected_on=ARRIVAL, now=COUNTED)
    press(instruments(batch)[0], RECEIVING.name, boss, COUNTED + timedelta(hours=1))
    with pytest.raises(WrongState, match=f"Too late: {RECEIVING.name}"):
        reopen_task(task_id=transit.pk, person=boss, now=COUNTED + timedelta(hours=2), reason="late")


def test_a_batch_sent_back_is_over(batch, boss):
    at = sampled(batch, boss)
    dispose_batch(batch=batch, outcome=Outcome.RETURNED, note="high frets", person=boss, now=at)
    assert set(batch.builds.values_list("cancelled_at", flat=True)) == {at}
    with pytest.raises(WrongState, match="cancelled"):
        undo_last(task_id=task_of(work_of(batch), DISPOSITION.name).pk, person=boss, now=at + timedelta(seconds=5))


def test_only_a_manager_decides(batch, boss):
    at = sampled(batch, boss)
    with pytest.raises(NotAllowed, match="manager"):
        dispose_batch(
            batch=batch, outcome=Outcome.ACCEPTED, note="", person=person("tern", stations=("receiving",)), now=at
        )


@pytest.mark.django_db(transaction=True)
def test_the_last_two_of_a_sample_done_at_once_open_the_disposition(batch, boss):
    counted(batch, boss, sample=2)
    acclimate_batch(batch=batch, person=boss, now=COUNTED)
    at = COUNTED + timedelta(days=7)
    drawn = [task_of(build, SAMPLING) for build in instruments(batch).filter(is_drawn=True)]
    for task in drawn:
        start_task(task_id=task.pk, person=boss, now=at)
    answers = at_once(*[lambda pk=task.pk: done_task(task_id=pk, person=boss, now=at + MINUTE) for task in drawn])
    assert all(isinstance(answer, Task) for answer in answers), answers
    assert task_of(work_of(batch), DISPOSITION.name).state == TaskState.READY
