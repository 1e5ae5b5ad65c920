"""The page of designs: ideas by stage against the benches, moves, prototypes from drawing to release."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from routing.models import Build, Kind, Qualification, Station, Task, TaskState
from routing.prototypes import make_prototype
from routing.services import start_task
from shop.backlog.designs import Designs
from shop.floor.services import done
from shop.orders.services import start_order
from shop.papers.models import Sheet
from specs.designs import add_idea
from specs.models import Pattern, Stage
from specs.starters import starter

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(client_of, manager):
    return client_of(manager)


@pytest.fixture
def idea(manager) -> Pattern:
    return written(manager, "Whimbrel")


def written(manager, name: str) -> Pattern:
    return add_idea(
        name=name, about="", document=starter(5), line="custom", person=manager, now=timezone.now()
    )  # fmt: skip


def press(client, address: str, **sent):
    return client.post(f"/backlog/{address}/", {"press": str(uuid4())} | sent)


def shown() -> Designs:
    return Designs(timezone.now(), timezone.localdate())


def test_an_empty_page_says_what_to_do(client):
    assert "write an idea down" in client.get("/backlog/designs/").content.decode()


def test_an_idea_begins_with_a_pattern_or_an_order(client, idea, manager):
    Pattern.objects.filter(pk=idea.pk).update(stage=Stage.OFFERED)
    order = start_order(pattern=idea, person=manager, now=timezone.now())
    assert press(client, "designs/add", name="Knot", like=str(idea.pk)).status_code == 302
    assert press(client, "designs/add", name="Ruff", order=order.number.lower()).status_code == 302
    assert set(Pattern.objects.filter(stage=Stage.IDEA).values_list("name", flat=True)) == {"Knot", "Ruff"}


@pytest.mark.parametrize(("sent", "told"), [
    ({"name": "Knot"}, "Choose the design"),
    ({"name": "Knot", "order": "C99-0001"}, "no order C99-0001"),
    ({"name": "Whimbrel"}, "name no other has"),
])  # fmt: skip
def test_what_is_missing_is_said_and_nothing_added(client, idea, sent, told):
    sent = sent | ({"like": str(idea.pk)} if told.startswith("name") else {})
    refused = press(client, "designs/add", **sent)
    assert refused.status_code == 409
    assert told in refused.content.decode()
    assert Pattern.objects.count() == 1


def test_a_move_stands_there_with_its_reason_and_the_second_is_told(client, idea):
    moved = {"was": "idea", "stage": "drawing", "reason": "asked for three times"}
    assert press(client, f"designs/{idea.pk}/move", **moved).status_code == 302
    assert "asked for three times" in client.get("/backlog/designs/").content.decode()
    late = press(client, f"designs/{idea.pk}/move", **moved)
    assert (late.status_code, "moved meanwhile" in late.content.decode()) == (409, True)


def test_a_prototype_takes_hours_at_the_benches(client, idea, manager):
    wanted = {bench.station: bench.wanted_h for bench in shown().benches}
    assert press(client, f"designs/{idea.pk}/prototype").status_code == 302
    benches = shown().benches
    left = {bench.station: bench.open_h for bench in benches}
    open_h = Task.objects.open().filter(station__name="Fret bench").values_list("usual_h", flat=True)
    assert left["Fret bench"] == pytest.approx(sum(open_h)) == pytest.approx(wanted.get("Fret bench", sum(open_h)))
    assert all(bench.wanted_h == 0 for bench in benches)


def test_weeks_are_hours_by_what_the_bench_can_spare(idea, manager):
    make_prototype(pattern=idea, person=manager, now=timezone.now())
    Qualification.objects.create(person=manager, station=Station.objects.get(name="Fret bench"), weekly_hours=5)
    benches = {bench.station: bench for bench in shown().benches}
    fret = benches["Fret bench"]
    assert fret.weeks == pytest.approx(fret.open_h / fret.spare_h)
    assert 0 < fret.spare_h <= 5
    assert benches["Neck bench"].weeks is None


def test_stopping_takes_it_out_of_the_queues(client, idea, manager):
    made = make_prototype(pattern=idea, person=manager, now=timezone.now())
    assert press(client, f"prototypes/{made.serial}/stop").status_code == 302
    assert press(client, f"prototypes/{made.serial}/stop").status_code == 409
    assert shown().all[0].prototypes == []


def test_a_prototype_is_released_at_the_desk_and_gets_a_traveller(client, idea, manager):
    made = make_prototype(pattern=idea, person=manager, now=timezone.now())
    drawing = made.tasks.get(operation="Scale and layout drawing")
    start_task(task_id=drawing.pk, person=manager, now=timezone.now())
    done(task_id=drawing.pk, person=manager, now=timezone.now())
    release = made.tasks.get(operation__startswith="Build sheet and traveller")
    released = press_at(client, release)
    made.refresh_from_db()
    assert (released.status_code, made.spec.is_released, made.released_at is not None) == (302, True, True)
    release.refresh_from_db()
    assert release.state == TaskState.DONE
    sheet = Sheet.objects.get(build=made)
    assert client.get(f"/papers/sheets/{sheet.pk}/").status_code == 200
    assert client.get(f"/papers/scan/?code={made.serial}").status_code == 302


def press_at(client, task):
    return client.post(f"/bench/task/{task.pk}/done/", {"press": str(uuid4())})


def test_the_morning_and_the_api_know_a_build_without_order(client, idea, manager):
    made = make_prototype(pattern=idea, person=manager, now=timezone.now())
    Build.objects.filter(pk=made.pk).update(released_at=timezone.now())
    assert client.get("/backlog/").status_code == 200
    assert client.get(f"/api/builds/{made.serial}/").status_code == 200
    assert Build.objects.get().kind == Kind.PROTOTYPE


def test_only_the_manager_opens_it(client_of, bench, sales):
    for one in (bench, sales):
        assert client_of(one).get("/backlog/designs/").status_code == 403


def test_one_design_asks_as_much_as_fifty(client, manager):
    def questions() -> int:
        with CaptureQueriesContext(connection) as caught:
            assert client.get("/backlog/designs/").status_code == 200
        return len(caught)

    make_prototype(pattern=written(manager, "Whimbrel"), person=manager, now=timezone.now())
    few = questions()
    for place in range(30):
        written(manager, f"Knot {place}")
    make_prototype(pattern=Pattern.objects.last(), person=manager, now=timezone.now())
    assert questions() == few
