"""The morning with a plan: late and at risk from it with one reason, the figures of a Monday, constant queries."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from routing.models import Batch, PlannedBuild, Task, TaskState
from routing.planning.holding import Holding, Step, longest
from routing.planning.timetable import published_timetable
from shop.backlog.floor import Floor
from shop.backlog.monday import Monday
from shop.backlog.views import FINISHING
from specs.models import Pattern
from specs.starters import starter
from tests.routing.planning.planned_shop import build, crew, published, run, spec

pytestmark = pytest.mark.django_db
PAGE = "/backlog/"
DAY = 24 * 60
LEAVES = "Despatch and delivery"


@pytest.fixture
def client(client_of, manager):
    return client_of(manager)


@pytest.fixture
def owner(db):
    return crew(2)[0]


def in_days(days: int) -> date:
    return timezone.localdate() + timedelta(days=days)


def test_late_now_late_by_the_plan_and_at_risk_in_this_order(client, owner):
    build(owner, "C26-0001", promise=in_days(300))
    build(owner, "C26-0002", promise=in_days(5))
    build(owner, "C26-0003", promise=in_days(-3))
    build(owner, "C26-0004", promise=in_days(301))
    run()
    PlannedBuild.objects.filter(build__serial="C26-0004").update(p80=timezone.now() + timedelta(days=320))
    morning = client.get(PAGE).context["morning"]
    told = [(line.grade, line.serial) for line in morning.do_first[:3]]
    assert told == [("stop", "C26-0003"), ("stop", "C26-0002"), ("caution", "C26-0004")]
    assert morning.do_first[0].word == "Late 3 days"
    assert morning.do_first[1].word.startswith("Will be ")
    assert "four in five leave by" in morning.do_first[2].why
    assert (morning.late_count, morning.promises.will_be_count, morning.risk_count) == (1, 1, 1)


def step(
    begin: float, end: float, *after: int, wait: float = 0, name: str = "Fretting", ready: float = 0, held: bool = False
) -> Step:
    return Step(name, "Fret bench", list(after), int(wait * DAY), ready * DAY, held, int(begin * DAY), int(end * DAY))


@pytest.mark.parametrize(
    ("steps", "found"),
    [
        ([step(5, 6), step(6, 7, 0, name=LEAVES)], Holding("queue", 5.0, "Fret bench")),
        ([step(0, 1, wait=10, name="Cure, two-component gloss"), step(11, 12, 0, name=LEAVES)], Holding("cure", 10.0)),
        ([step(0, 1, wait=14, name="Long-lead parts ordered"), step(15, 16, 0, name=LEAVES)], Holding("parts", 14.0)),
        (
            [step(9, 9.5, name="Specification sign-off by customer"), step(9.5, 10, 0, name=LEAVES)],
            Holding("customer", 9.0),
        ),
        ([step(0, 1, wait=3, name="Balance invoice and payment"), step(4, 5, 0, name=LEAVES)], Holding("money", 3.0)),
        ([step(9, 10, ready=8.5, name="Level sanding"), step(10, 11, 0, name=LEAVES)], Holding("cure", 8.5)),
        ([step(8, 9, held=True), step(9, 10, 0, name=LEAVES)], Holding("held", 8.0)),
        ([step(0, 6), step(6, 7, 0, name=LEAVES)], Holding("work", 7.0)),
        ([step(0, 1), step(0, 4), step(4, 5, 0, 1, name=LEAVES)], Holding("work", 5.0)),
    ],
)
def test_the_one_reason_is_what_takes_longest_on_the_chain(steps, found):
    assert longest(dict(enumerate(steps)), now=0.0) == found


def test_the_release_check_knows_the_first_day_at_the_finish(owner):
    made = build(owner, "C26-0001")
    run()
    plan = published_timetable()
    tasks = set(made.tasks.filter(operation__in=FINISHING).values_list("pk", flat=True))
    rows = zip(plan.rows.task.tolist(), plan.rows.begins.tolist(), strict=True)
    begins = min(begin for task, begin in rows if task in tasks)
    first = datetime.fromtimestamp(60 * begins, timezone.get_current_timezone()).date()
    assert plan.first_days(FINISHING) == {made.pk: first}
    check = Floor(timezone.now(), plan.first_days(FINISHING)).line[0].checks[-1]
    assert check.holds is (first <= in_days(42))


def test_the_figures_of_a_monday(client, owner):
    build(owner, "C26-0001", promise=in_days(5))
    build(owner, "C26-0002", promise=in_days(20))
    tern = Pattern.objects.create(name="Tern", strings=4, line="series", document=starter(4))
    Batch.objects.create(
        number="B26-0001", partner="Tern Coast", pattern=tern, spec=spec(owner), pieces=24, ordered_at=timezone.now(),
        expected_on=date(2031, 4, 14),
    )  # fmt: skip
    run()
    said = {one.name: one.said for one in client.get(PAGE).context["morning"].monday.figures}
    assert said["Partner's next arrival"] == "B26-0001, 24 pieces, Mon 14 Apr 2031"
    assert said["In line, not released"] == "2, no rate known yet"
    assert said["Promises due in 30 days"] == "2 late"
    assert said["Places over their limit"].startswith("none")
    assert said["Finished last week, custom"] == "0, usual 0.0 a week"
    assert said["Oldest unsigned"].startswith("C26-0001, ")
    assert "bolt-on" in said["Quote this week, oil"]
    assert said["Fret bench"].endswith("hours in two weeks")


def test_finished_last_week_is_the_full_week_before_this_monday(owner):
    made = build(owner, "C26-0001")
    monday = timezone.localdate() - timedelta(days=timezone.localdate().weekday())
    noon = timezone.make_aware(datetime.combine(monday, datetime.min.time())) - timedelta(hours=12)
    left = made.tasks.filter(operation=LEAVES)
    for done_at, counted in ((noon, 1), (noon + timedelta(days=1), 0), (noon - timedelta(days=7), 0)):
        left.update(state=TaskState.DONE, done_at=done_at)
        assert Monday(timezone.now(), None, []).rates["custom"][0] == counted


def test_touch_hours_stand_beside_their_estimates(owner):
    made = build(owner, "C26-0001")
    done = made.tasks.filter(station__slug="neck-bench")
    count = done.update(state=TaskState.DONE, done_at=timezone.now(), touched_s=7200, usual_h=1.0)
    found = [(one.count, one.hours, one.share) for one in Monday(timezone.now(), None, []).touches]
    assert found == [(count, 2.0 * count, 2.0)]
    assert Task.objects.filter(touched_s__gt=0).count() == count


def test_without_a_plan_the_page_says_what_to_press(client):
    assert "<b>Plan again</b>" in client.get(PAGE).content.decode()


def test_more_instruments_ask_no_more(client, owner):
    def queries() -> int:
        client.get(PAGE)
        with CaptureQueriesContext(connection) as caught:
            client.get(PAGE)
        return len(caught)

    build(owner, "C26-0001", promise=in_days(5))
    run()
    before = queries()
    for number in range(2, 8):
        build(owner, f"C26-{number:04d}", promise=in_days(number - 4))
    run()
    assert published().summary["orders"] == 7
    assert queries() == before
