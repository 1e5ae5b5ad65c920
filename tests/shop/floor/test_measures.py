"""What benches measure comes back: setbacks of five setups make the shop's own median, weighed planks weigh."""

from __future__ import annotations

from statistics import median
from uuid import uuid4

import pytest
from django.utils import timezone

from routing.measured import RECORDED, SETUP, measured_densities, measured_setbacks
from routing.models import TaskState
from routing.services import reopen_task, start_task, undo_last
from shop.floor.services import done
from shop.orders.saddle_rows import saddle_rows
from specs.errors import Refused
from specs.released import instrument
from tests.shop.floor.shop_day import released, stand_at
from tests.specs.documents import derived

MEASURED_MM = (2.1, 2.9, 2.4, 3.3, 2.6)


def set_up(manager, serial: str, mm: float):
    """A setup pressed through to Done that put the lowest string there."""
    task = stand_at(released(manager, serial=serial), SETUP.name)
    start_task(task_id=task.pk, person=manager, now=timezone.now())
    return done(task_id=task.pk, person=manager, now=timezone.now(), readings={"setback 5": mm})


def lowest(build):
    made = instrument(build.spec)
    return saddle_rows(made, measured_setbacks(made))[-1]


def test_five_setups_make_the_shops_own_setback(manager):
    tasks = [set_up(manager, f"C26-000{at}", mm) for at, mm in enumerate(MEASURED_MM[:4])]
    assert (lowest(tasks[0].build).shop_mm, lowest(tasks[0].build).measured) == (None, 4)
    last = set_up(manager, "C26-0009", MEASURED_MM[4])
    assert (lowest(last.build).shop_mm, lowest(last.build).measured) == (median(MEASURED_MM), 5)
    assert saddle_rows(instrument(last.build.spec), measured_setbacks(instrument(last.build.spec)))[0].measured == 0


DRILLING = "Dry assembly, bridge location and drilling"


def card_of(client, build, operation: str) -> str:
    task = stand_at(build, operation)
    page = client.get(f"/bench/task/{task.pk}/").content.decode()
    return page.split('<div id="saddles">')[1].split("<thead>")[1].split("</table>")[0]


@pytest.mark.parametrize("operation", [DRILLING, SETUP.name])
def test_a_card_that_places_saddles_tabulates_them_string_by_string(manager, client_of, operation):
    tasks = [set_up(manager, f"C26-000{at}", mm) for at, mm in enumerate(MEASURED_MM)]
    table = card_of(client_of(manager), released(manager, serial="C26-0010"), operation)
    for string in instrument(tasks[0].build.spec).strings:
        low_mm, high_mm = string.saddle_window_mm
        for said in (f"{string.number} · {string.pitch}", f"{low_mm:.2f} … {high_mm:.2f}", f"{string.setback_mm:.2f}"):
            assert said in table
    assert f"{median(MEASURED_MM):.2f}" in table
    assert (table.count("of 5"), table.count("–</td>"), table.count("~ ")) == (1, 4, 5)
    assert ("Drill from" in table) == (operation == DRILLING)


def test_a_card_that_places_no_saddle_asks_for_none(manager, client_of):
    task = stand_at(released(manager), "Nut slots cut")
    assert 'id="saddles"' not in client_of(manager).get(f"/bench/task/{task.pk}/").content.decode()


def test_a_setup_opened_again_does_not_count(manager):
    tasks = [set_up(manager, f"C26-000{at}", mm) for at, mm in enumerate(MEASURED_MM)]
    reopen_task(task_id=tasks[0].pk, person=manager, now=timezone.now(), reason="wrong string")
    assert (lowest(tasks[1].build).shop_mm, lowest(tasks[1].build).measured) == (None, 4)


def test_a_setup_done_again_without_readings_counts_no_earlier_ones(manager):
    tasks = [set_up(manager, f"C26-000{at}", mm) for at, mm in enumerate(MEASURED_MM)]
    reopen_task(task_id=tasks[0].pk, person=manager, now=timezone.now(), reason="new strings")
    start_task(task_id=tasks[0].pk, person=manager, now=timezone.now())
    done(task_id=tasks[0].pk, person=manager, now=timezone.now())
    assert (lowest(tasks[1].build).shop_mm, lowest(tasks[1].build).measured) == (None, 4)


def test_a_setup_done_again_counts_with_what_it_measured_last(manager):
    task = set_up(manager, "C26-0001", 2.5)
    reopen_task(task_id=task.pk, person=manager, now=timezone.now(), reason="new strings")
    start_task(task_id=task.pk, person=manager, now=timezone.now())
    done(task_id=task.pk, person=manager, now=timezone.now(), readings={"setback 5": 3.5, "setback 1": 1.0})
    found = measured_setbacks(instrument(task.build.spec))
    assert (found[5], found[1], found[3]) == ([3.5], [1.0], [])


def test_a_done_taken_back_drops_its_readings(manager):
    task = set_up(manager, "C26-0001", 2.5)
    undo_last(task_id=task.pk, person=manager, now=timezone.now())
    assert measured_setbacks(instrument(task.build.spec))[5] == []
    done(task_id=task.pk, person=manager, now=timezone.now(), readings={"setback 5": 2.7})
    assert measured_setbacks(instrument(task.build.spec))[5] == [2.7]


def test_an_opening_taken_back_brings_the_readings_back(manager):
    task = set_up(manager, "C26-0001", 2.5)
    reopen_task(task_id=task.pk, person=manager, now=timezone.now(), reason="wrong instrument")
    assert measured_setbacks(instrument(task.build.spec))[5] == []
    undo_last(task_id=task.pk, person=manager, now=timezone.now())
    assert measured_setbacks(instrument(task.build.spec))[5] == [2.5]


@pytest.mark.parametrize(
    ("changes", "counts"),
    [
        ({}, True),
        ({"scale.bass": f"{37 * 25.4 + 4.9} mm"}, True),
        ({"scale.bass": f"{37 * 25.4 - 4.9} mm"}, True),
        ({"scale.bass": f"{37 * 25.4 + 5.1} mm"}, False),
        ({"scale.bass": f"{37 * 25.4 - 5.1} mm"}, False),
        ({"strings.gauges": ["0.1305 in", "0.100 in", "0.080 in", "0.065 in", "0.045 in"],
          "strings.unit_weights": [0.0007, None, None, None, None]}, False),
        ({"strings.winding": "stainless round",
          "strings.unit_weights": [0.0007, 0.0004, 0.0003, 0.0002, 0.0001]}, False),
    ],
)  # fmt: skip
def test_a_string_is_the_same_by_gauge_winding_and_five_millimetres_of_scale(manager, changes, counts):
    """Common practice, no source: a saddle is set alike for the same string at nearly the same scale."""
    measured = set_up(manager, "C26-0001", 2.5)
    string = instrument(measured.build.spec).strings[0]
    assert (string.gauge_mm, string.scale_mm) == (pytest.approx(0.130 * 25.4), pytest.approx(37 * 25.4))
    assert measured_setbacks(derived(changes))[5] == ([2.5] if counts else [])


def test_the_setbacks_are_read_in_one_query(manager, django_assert_num_queries):
    made = instrument(set_up(manager, "C26-0001", 2.5).build.spec)
    with django_assert_num_queries(1):
        assert measured_setbacks(made)[5] == [2.5]


def pressed_done(client, task, **readings):
    return client.post(f"/bench/task/{task.pk}/done/", {"press": str(uuid4()), "page": "task", **readings})


@pytest.mark.parametrize(("typed", "status", "kept"), [("512,5", 302, {"body": 512.5}), ("40", 400, {})])
def test_a_plank_weighed_at_the_bench_is_kept_within_reason(manager, client_of, typed, status, kept):
    task = stand_at(released(manager), RECORDED.name)
    start_task(task_id=task.pk, person=manager, now=timezone.now())
    client = client_of(manager)
    page = client.get(f"/bench/task/{task.pk}/").content.decode()
    name = page.split("body plank")[0].rsplit('for="id_', 1)[1].split('"')[0]
    assert pressed_done(client, task, **{name: typed}).status_code == status
    assert measured_densities(task.build) == kept
    task.refresh_from_db()
    assert (task.state == TaskState.DONE) == (status == 302)


@pytest.mark.parametrize("readings", [{"setback 5": 5000.0}, {"density body": 12}, {"density neck": "heavy"}])
def test_no_door_lets_a_measurement_in_that_cannot_be(manager, readings):
    task = stand_at(released(manager), SETUP.name)
    start_task(task_id=task.pk, person=manager, now=timezone.now())
    with pytest.raises(Refused) as refused:
        done(task_id=task.pk, person=manager, now=timezone.now(), readings=readings)
    assert [problem.field for problem in refused.value.problems] == [f"readings.{next(iter(readings))}"]
    task.refresh_from_db()
    assert task.state == TaskState.ON_BENCH
