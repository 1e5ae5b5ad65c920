"""An order of the series takes one instrument of a partner's batch: reserved once, given back, found again."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from routing.batches import dispose_batch, instruments
from routing.errors import WrongState
from routing.models import Build, Kind, Outcome, Task, TaskState
from shop.batches.services import count_batch, decide_batch, order_batch
from shop.orders.models import Initialled, Order
from shop.orders.queries import check_order
from shop.orders.reserving import reserve
from shop.orders.services import cancel_order, clear_deposit, initial_caution, revise_spec
from shop.orders.standing import where_said
from shop.papers.models import Sheet
from shop.papers.queries import is_current
from shop.papers.services import blocks, release_order
from specs.errors import Refused
from tests.routing.made import person
from tests.routing.test_races import at_once
from tests.shop.batches.made import (
    EXPECTED,
    HERE,
    MINUTE,
    NOW,
    counted,
    ordered,
    paid,
    press,
    sampled,
    shipped,
    wanted,
    wish,
)

pytestmark = pytest.mark.django_db


def fresh(order: Order) -> Order:
    return Order.objects.select_related("build", "spec").get(pk=order.pk)


def answered(order: Order, person) -> Order:
    """Every caution of the order initialled."""
    for one in check_order(order, now=NOW).cautions:
        initial_caution(
            order=order, rule=one.rule, field=one.field, initials="AV", reason="agreed", person=person, now=NOW
        )
    return order


def test_ordering_freezes_a_spec_for_each_hand_and_releases_every_build(batch, pattern):
    assert [batch.spec.document["hand"], batch.left_spec.document["hand"]] == ["right", "left"]
    assert {batch.spec.pattern_id, batch.left_spec.pattern_id} == {pattern.pk}
    assert set(batch.builds.values_list("released_at", flat=True)) == {NOW}
    work = batch.builds.get(kind=Kind.BATCH)
    sheets = Sheet.objects.order_by("pk").values_list("build", "spec")
    assert set(sheets) == {(work.pk, batch.spec_id), (work.pk, batch.left_spec_id)}
    assert all(is_current(sheet) for sheet in Sheet.objects.all())


def test_a_pattern_with_problems_is_not_ordered(pattern, manager):
    pattern.document["scale"]["bass"] = "34 in"
    pattern.document["frets"] = 24
    pattern.save()
    with pytest.raises(Refused):
        ordered(pattern, manager)
    assert Build.objects.count() == 0


def test_cautions_of_a_pattern_are_answered_with_a_reason(pattern, manager):
    pattern.document["neck"]["stiffening_bars"] = False
    pattern.save()
    with pytest.raises(Refused) as refused:
        order_batch(wanted=replace(wanted(pattern), reason=" "), person=manager, now=NOW)
    assert [(problem.field, problem.code) for problem in refused.value.problems] == [
        ("reason", "bars-for-long-or-wide-neck")
    ]
    batch = ordered(pattern, manager, left_pieces=0)
    answers = Initialled.objects.filter(spec=batch.spec).values_list("rule", "initials", "reason")
    assert list(answers) == [("bars-for-long-or-wide-neck", manager.initials, "as the sealed sample")]


def test_a_deposit_reserves_an_instrument_and_promises_three_weeks_after_arrival(batch, pattern, sales):
    """**Source**: common practice, no source: date promised = arrival + 3 weeks, never arrival."""
    order = fresh(paid(pattern, sales))
    assert (order.build.serial, order.promise) == ("S26-0002", EXPECTED + timedelta(weeks=3))
    assert order.build.promise == order.promise


def test_a_left_handed_order_gets_a_left_handed_instrument(batch, pattern, sales):
    assert fresh(paid(pattern, sales, hand="left")).build.spec == batch.left_spec


def test_other_strings_fit_and_another_colour_does_not(batch, pattern, sales):
    gauges = [".110 in", ".090 in", ".070 in", ".050 in"]
    assert fresh(paid(pattern, sales, strings={"gauges": gauges})).build is not None
    blue = fresh(paid(pattern, sales, finish={"shade": "blue"}))
    assert (blue.build, where_said(blue, None)) == (None, "waiting: an instrument of a batch")


def test_an_order_waits_for_the_next_batch_in_the_order_of_deposits(pattern, sales, manager):
    first, second = paid(pattern, sales), paid(pattern, sales, now=NOW + MINUTE)
    assert fresh(first).build is None
    ordered(pattern, manager, pieces=1, left_pieces=0, now=NOW + 2 * MINUTE)
    assert [fresh(first).build.serial, fresh(second).build] == ["S26-0003", None]


def test_an_order_takes_no_second_instrument(batch, pattern, sales):
    with pytest.raises(WrongState, match="takes no instrument"):
        reserve(order=paid(pattern, sales), person=sales, now=NOW)


@pytest.mark.django_db(transaction=True)
def test_two_deposits_reach_for_the_last_instrument(flushable, pattern, sales, manager):
    ordered(pattern, manager, pieces=1, left_pieces=0)
    orders = [wish(pattern, sales), wish(pattern, sales)]
    answers = at_once(*[lambda one=one: clear_deposit(order=one, person=sales, now=NOW) for one in orders])
    assert all(isinstance(answer, Order) for answer in answers), answers
    assert sorted(str(fresh(one).build) for one in orders) == ["None", "S26-0001"]


def test_a_cancelled_order_gives_its_instrument_to_the_next_that_waits(pattern, sales, manager):
    ordered(pattern, manager, pieces=1, left_pieces=0)
    first, second = paid(pattern, sales), paid(pattern, sales, now=NOW + MINUTE)
    cancel_order(order=first, reason="moved abroad", person=sales, now=NOW)
    assert (fresh(first).build, fresh(second).build.serial) == (None, "S26-0001")
    assert Build.objects.get(serial="S26-0001").cancelled_at is None


def test_a_missing_instrument_is_replaced_by_another_of_the_batch(batch, pattern, sales, manager):
    order = paid(pattern, sales)
    counted(batch, manager, arrived=["S26-0001", "S26-0003"])
    assert fresh(order).build.serial == "S26-0003"


def test_an_order_of_a_returned_batch_waits_again_with_its_next_letter(batch, pattern, sales, manager):
    order = answered(fresh(paid(pattern, sales)), manager)
    release_order(order=order, person=manager, now=NOW)
    at = sampled(batch, manager)
    decide_batch(batch=batch, outcome=Outcome.RETURNED, note="high frets", person=manager, now=at)
    order = fresh(order)
    assert (order.build, order.spec.revision, order.spec.is_released) == (None, "B", False)
    with pytest.raises(Refused, match="No instrument"):
        release_order(order=answered(order, manager), person=manager, now=at)
    ordered(pattern, manager, left_pieces=0, now=at)
    release_order(order=fresh(order), person=manager, now=at)
    assert fresh(order).build.spec == fresh(order).spec


def test_the_same_choices_keep_the_letter_and_other_strings_take_the_next(batch, pattern, sales, manager):
    same = answered(fresh(paid(pattern, sales)), manager)
    other = answered(fresh(paid(pattern, sales, setup={"attack": "heavy"})), manager)
    for order in (same, other):
        release_order(order=order, person=manager, now=NOW)
    assert [fresh(one).build.spec.revision for one in (same, other)] == ["A", "B"]
    assert [fresh(one).build.spec_id == one.spec_id for one in (same, other)] == [True, True]


def test_a_release_keeps_what_holds_the_instrument_back(batch, pattern, sales, manager):
    order = answered(fresh(paid(pattern, sales)), manager)
    release_order(order=order, person=manager, now=NOW)
    build = fresh(order).build
    assert build.released_at == NOW
    assert list(build.tasks.exclude(state=TaskState.NOT_READY)) == []
    assert [list(task.beyond) for task in build.tasks.filter(position__in=(0, 3))] == [
        ["Transit and customs entry"], ["Batch disposition"],
    ]  # fmt: skip


def test_what_is_built_is_not_ordered_otherwise_afterwards(batch, pattern, sales, manager):
    order = answered(fresh(paid(pattern, sales)), manager)
    release_order(order=order, person=manager, now=NOW)
    order = revise_spec(order=fresh(order), person=sales, now=NOW)
    order.spec.entered["finish"]["shade"] = "blue"
    order.spec.save()
    assert [problem.field for problem in blocks(fresh(order), NOW)] == ["finish.shade"]


def test_one_finished_for_stock_is_despatched_to_the_order_that_takes_it(batch, pattern, sales, manager):
    at = sampled(batch, manager)
    dispose_batch(batch=batch, outcome=Outcome.ACCEPTED, note="", person=manager, now=at)
    build = instruments(batch)[1]
    later = at + timedelta(days=30)
    while (task := build.tasks.filter(state=TaskState.READY).order_by("position").first()) is not None:
        press(task, manager if "inspection" not in task.operation else other_eyes(), later)
        later += timedelta(days=3)
    assert Build.objects.get(pk=build.pk).finished_at is not None
    order = fresh(paid(pattern, sales, now=later))
    last = order.build.tasks.order_by("position").last()
    assert (order.build.serial, order.build.finished_at, last.state, last.ready_at) == (
        "S26-0002", None, TaskState.READY, later,
    )  # fmt: skip
    assert last.events.last().note == f"sold to {order.number}"


def test_counting_in_issues_the_traveller_of_everything_that_came(batch, manager):
    count_batch(batch=shipped(batch, manager), arrived=["S26-0001"], sample=1, person=manager, now=HERE)
    assert [sheet.build.serial for sheet in Sheet.objects.exclude(build__kind=Kind.BATCH)] == ["S26-0001"]
    assert Task.objects.filter(build__serial="S26-0001", state=TaskState.DONE).count() == 1


def other_eyes():
    return person("tern", "manager")
