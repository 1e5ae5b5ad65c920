"""Pages of batches: ordering, counting in, resting and deciding by their buttons, and the bench that works on one."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from routing.batches import DISPOSITION, instruments
from routing.models import Batch, Kind, Outcome, TaskState
from shop.papers.models import Sheet
from tests.shop.batches.made import counted, ordered, paid, press, sampled, shipped, work_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client_of, sales):
    return client_of(sales)


@pytest.fixture
def boss(client_of, manager):
    return client_of(manager)


def send(client, name, *args, **given):
    return client.post(reverse(name, args=args), {"press": str(uuid4()), **given})


def page_of(client, batch) -> str:
    return client.get(reverse("batches:page", args=[batch.number])).content.decode()


def typed(of, **changes):
    day = timezone.localdate() + timedelta(days=130)
    asked = {"pattern": of.pk, "partner": "Farshore Works", "pieces": 4, "left_pieces": 1, "expected_on": day,
             "reason": "as the sealed sample"}  # fmt: skip
    return asked | changes


def test_a_batch_is_ordered_by_its_form(desk, pattern):
    answer = send(desk, "batches:new", **typed(pattern))
    batch = Batch.objects.get()
    assert answer["Location"] == reverse("batches:page", args=[batch.number])
    assert (batch.pieces, batch.left_pieces, instruments(batch).count()) == (4, 1, 4)
    page = page_of(desk, batch)
    assert [word for word in ("LEFT", "Farshore Works", "Sheet for the partner, revision A") if word not in page] == []


@pytest.mark.parametrize(
    ("changes", "said"),
    [({"left_pieces": 5}, "Not more than the pieces ordered."), ({"pieces": 0}, "greater than or equal to 1"),
     ({"pattern": 0}, "valid choice"), ({"expected_on": "soon"}, "valid date")],
)  # fmt: skip
def test_what_cannot_be_ordered_is_said_beside_its_field(desk, pattern, changes, said):
    answer = send(desk, "batches:new", **typed(pattern, **changes))
    assert (answer.status_code, said in answer.content.decode(), Batch.objects.count()) == (422, True, 0)


def test_a_pattern_with_errors_is_refused_with_all_of_them(desk, pattern):
    pattern.document["scale"]["treble"] = "34"
    pattern.save()
    answer = send(desk, "batches:new", **typed(pattern))
    assert (answer.status_code, "scale.treble" in answer.content.decode(), Batch.objects.count()) == (422, True, 0)


def test_a_batch_is_counted_rested_and_decided_by_its_buttons(boss, batch, manager):
    shipped(batch, manager)
    _let_the_clock_run(batch)
    send(boss, "batches:count", batch.number, arrived=["S26-0001", "S26-0002"], sample=1)
    batch.refresh_from_db()
    assert (batch.received, Sheet.objects.exclude(build__kind=Kind.BATCH).count()) == (2, 2)
    assert "missing or returned" in page_of(boss, batch)
    send(boss, "batches:rest", batch.number)
    assert "Put " not in page_of(boss, batch)
    _let_the_clock_run(batch)
    drawn = instruments(batch).get(is_drawn=True).tasks.get(operation="Batch sampling inspection")
    press(drawn, manager, timezone.now() - timedelta(minutes=2))
    assert "What becomes of the batch?" in page_of(boss, batch)
    send(boss, "batches:decide", batch.number, outcome=Outcome.ACCEPTED, note="one dull fret")
    batch.refresh_from_db()
    assert (batch.outcome, "accepted" in page_of(boss, batch)) == (Outcome.ACCEPTED, True)


def _let_the_clock_run(batch):
    """Every wait of the batch is out."""
    for build in batch.builds.all():
        build.tasks.filter(state=TaskState.READY).update(ready_at=timezone.now() - timedelta(minutes=5))


@pytest.mark.parametrize(("name", "given"), [("arrival", {"expected_on": "soon"}), ("count", {"sample": ""}),
                                             ("count", {"arrived": ["S99"], "sample": 1}), ("decide", {})])  # fmt: skip
def test_what_is_not_understood_changes_nothing(boss, batch, name, given):
    before = Batch.objects.filter(pk=batch.pk).values().get()
    assert send(boss, f"batches:{name}", batch.number, **given).status_code == 422
    assert Batch.objects.filter(pk=batch.pk).values().get() == before


def test_too_early_is_refused_with_the_fresh_page(boss, batch):
    answer = send(boss, "batches:count", batch.number, arrived=["S26-0001"], sample=1)
    assert (answer.status_code, "Transit and customs entry" in answer.content.decode()) == (409, True)
    assert send(boss, "batches:rest", batch.number).status_code == 409
    assert send(boss, "batches:decide", batch.number, outcome="accepted").status_code == 409


def test_another_day_is_kept_and_a_late_batch_says_so(desk, batch):
    Batch.objects.update(expected_on=timezone.localdate())
    assert "late</b>" not in page_of(desk, batch)
    Batch.objects.update(ordered_at=timezone.now() - timedelta(days=99))
    day = timezone.localdate() - timedelta(days=1)
    batch.builds.filter(kind=Kind.BATCH).update(made_at=timezone.now() - timedelta(days=99))
    send(desk, "batches:arrival", batch.number, expected_on=day)
    assert Batch.objects.get().expected_on == day
    assert "late</b>" in page_of(desk, batch)
    assert "late</b>" in desk.get(reverse("batches:list")).content.decode()


def test_the_same_press_orders_once(desk, pattern):
    token = str(uuid4())
    for _ in range(2):
        desk.post(reverse("batches:new"), typed(pattern, press=token))
    assert Batch.objects.count() == 1


def test_the_list_asks_as_often_for_many_batches_as_for_one(desk, batch, pattern, manager, django_assert_num_queries):
    desk.get(reverse("batches:list"))
    with CaptureQueriesContext(connection) as one:
        desk.get(reverse("batches:list"))
    for _ in range(4):
        ordered(pattern, manager, pieces=2)
    with django_assert_num_queries(len(one)):
        page = desk.get(reverse("batches:list")).content.decode()
    assert page.count("Farshore Works") == 5


def test_a_page_asks_as_often_for_many_instruments_as_for_one(desk, pattern, manager, sales, django_assert_num_queries):
    small, large = ordered(pattern, manager, 1, 0), ordered(pattern, manager, 12, 2)
    for _ in range(3):
        paid(pattern, sales)
    page_of(desk, small)
    with CaptureQueriesContext(connection) as one:
        page_of(desk, small)
    with django_assert_num_queries(len(one)):
        page_of(desk, large)


def test_may_be_promised_what_is_here_and_most_of_what_arrives(desk, pattern, manager, sales):
    """**Source**: common practice, no source: in stock + 0.95 of what arrives - reserved."""
    counted(ordered(pattern, manager, 3, 0), manager)
    ordered(pattern, manager, 24, 0)
    paid(pattern, sales)
    page = " ".join(desk.get(reverse("batches:list")).content.decode().split())
    cells = '<td class="n">2</td><td class="n">24</td><td class="n">24</td>'
    assert cells in page


def test_a_bench_reads_a_batch_where_an_instrument_would_stand(boss, batch, manager):
    task = work_task(batch, "Partner pre-shipment report")
    page = boss.get(reverse("floor:task", args=[task.pk])).content.decode()
    assert [word for word in ("B26-0001", "3 pieces, 1 left-handed, from Farshore Works") if word not in page] == []
    assert 'class="hand' not in page


def test_a_report_written_down_late_does_not_move_the_arrival(boss, batch, manager):
    batch.builds.filter(kind=Kind.BATCH).update(made_at=timezone.now())
    day = timezone.localdate() + timedelta(days=60)
    send(boss, "batches:arrival", batch.number, expected_on=day)
    for name in ("Partner pre-shipment report", "Transit and customs entry"):
        task = work_task(batch, name)
        _let_the_clock_run(batch)
        assert send(boss, "floor:start", task.pk).status_code == 302
        assert send(boss, "floor:done", task.pk).status_code == 302
    at = instruments(batch)[0].tasks.get(operation="Batch receiving and count").ready_at
    assert abs(at - timezone.make_aware(timezone.datetime(day.year, day.month, day.day))) < timedelta(hours=2)


def test_a_disposition_is_made_on_the_batch_page_only(boss, batch, manager):
    sampled(batch, manager)
    _let_the_clock_run(batch)
    task = work_task(batch, DISPOSITION.name)
    page = boss.get(reverse("floor:task", args=[task.pk])).content.decode()
    assert reverse("batches:page", args=[batch.number]) in page
    assert reverse("floor:start", args=[task.pk]) not in page
    assert send(boss, "floor:done", task.pk).status_code == 409
    assert work_task(batch, DISPOSITION.name).state == TaskState.READY


def test_a_scanned_batch_sheet_leads_to_the_batch_or_to_the_bench(boss, batch, client_of, bench, manager):
    address = reverse("papers:scan") + "?code=b26-0001&rev=A"
    assert boss.get(address)["Location"] == reverse("batches:page", args=[batch.number])
    _let_the_clock_run(batch)
    task = work_task(batch, "Partner pre-shipment report")
    assert client_of(bench).get(address)["Location"] == reverse("floor:task", args=[task.pk])


def test_an_unreserved_instrument_leads_to_its_batch(boss, batch):
    answer = boss.get(reverse("papers:scan") + "?code=S26-0002&rev=A")
    assert answer["Location"] == reverse("batches:page", args=[batch.number])


def test_a_waiting_order_finds_an_instrument_by_its_button(desk, pattern, sales, manager):
    order = paid(pattern, sales)
    assert "Look for an instrument" in desk.get(reverse("orders:page", args=[order.number])).content.decode()
    assert send(desk, "orders:reserve", order.number).status_code == 422
    ordered(pattern, manager)
    order.refresh_from_db()
    assert order.build.serial in desk.get(reverse("orders:page", args=[order.number])).content.decode()


def test_the_morning_page_names_a_late_batch_and_no_instrument_on_its_way(boss, batch):
    batch.builds.update(promise=timezone.localdate() - timedelta(days=2))
    page = boss.get(reverse("backlog:page")).content.decode()
    assert reverse("batches:page", args=[batch.number]) in page
    assert "0 on the floor" in page
