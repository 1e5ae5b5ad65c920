"""The manager's page of the plan: made again, searched for, compared, published by word, its settings."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from routing.attendance import Absence
from routing.models import Job, Plan, PlanSettings, Qualification, Task
from routing.planning.comparing import compare
from routing.planning.jobs import IMPROVE, REPLAN
from routing.planning.making import by_rule, read_line
from routing.planning.published import pointer, rows_of_plan
from routing.planning.publishing import decide, keep_plan
from routing.plans import PlanKind
from tests.routing.planning.planned_shop import build, crew, published, run

pytestmark = pytest.mark.django_db
PAGE = "/backlog/plan/"


@pytest.fixture
def client(client_of, manager):
    return client_of(manager)


@pytest.fixture
def owner(db):
    return crew(1)[0]


@pytest.fixture
def planned(owner):
    build(owner, "C26-0001", promise=timezone.localdate() + timedelta(days=300))
    run()
    return owner


def press(client, name, *where, **given):
    return client.post(reverse(f"backlog:{name}", args=where), given | {"press": str(uuid4())})


def test_before_the_first_plan_it_says_how_to_come_by_one(client):
    assert "No plan has been made yet" in client.get(PAGE).content.decode()


def test_both_kinds_are_asked_for_once(client, owner):
    for _time in range(2):
        press(client, "plan-again")
        press(client, "plan-improve")
    assert sorted(Job.objects.values_list("kind", flat=True)) == sorted([IMPROVE, REPLAN])
    page = client.get(PAGE).content.decode()
    assert "waits for its turn" in page
    assert page.count("<progress") == 2
    live = client.get(PAGE, headers={"HX-Request": "true"}).content.decode()
    assert live.startswith('<div id="making"')


def test_a_failure_is_told(client, planned):
    Task.objects.filter(operation="Fretting").update(low_h=9e4, usual_h=9e4, high_h=9e4)
    run()
    assert "C26-0001 Fretting" in client.get(PAGE).content.decode()


def test_versions_stand_with_the_reason(client, planned):
    run()
    page = client.get(PAGE).content.decode()
    assert "the first plan" in page
    assert "no better than the published plan carried on" in page


def test_the_newest_is_published_by_the_managers_word(client, planned, manager):
    run()
    newest, first = Plan.objects.all()
    assert press(client, "plan-publish", newest.pk).status_code == 302
    assert published() == newest
    assert published().reason == f"published by {manager}"
    assert press(client, "plan-publish", first.pk).status_code == 409


def test_settings_are_typed_as_percent_and_held_to_their_bounds(client):
    good = {"level": 90, "better_by": 5, "night_at": "03:15", "seconds": 60}
    assert press(client, "plan-settings", **good).status_code == 302
    kept = PlanSettings.objects.get()
    assert (kept.level, kept.better_by, kept.seconds) == (0.9, 0.05, 60)
    assert pointer().version == 1
    bad = press(client, "plan-settings", **good | {"level": 100})
    assert bad.status_code == 422
    assert "99" in bad.content.decode()
    assert PlanSettings.objects.get().level == 0.9


def test_only_the_manager_opens_it(client_of, sales, bench):
    assert {client_of(one).get(PAGE).status_code for one in (sales, bench)} == {403}


def test_who_moved_by_how_much_and_why(client, planned):
    first = published()
    build(planned, "C26-0002", promise=timezone.localdate() + timedelta(days=1))
    line = read_line(timezone.now(), rows_of_plan(None), [])
    keep_plan(line=line, made=by_rule(line), kind=PlanKind.QUICK, decision=decide(0, None, "", 0), based_on=first.pk,
              person=None, now=timezone.now())  # fmt: skip
    moved = {one.serial: one for one in compare(first, published())}
    assert (moved["C26-0002"].why, moved["C26-0002"].days) == ("new in the plan", 0)
    assert moved["C26-0001"].days >= 1
    assert moved["C26-0001"].why.startswith("C26-0002 is in front of ")
    page = client.get(reverse("backlog:plan-compared", args=[published().pk])).content.decode()
    assert "New in the plan" in page


def test_an_absence_is_the_reason_where_it_is(owner):
    Qualification.objects.exclude(person=owner).delete()
    build(owner, "C26-0001", promise=timezone.localdate() + timedelta(days=300))
    run()
    first = published()
    today = timezone.localdate()
    Absence.objects.create(person=owner, first=today + timedelta(days=5), last=today + timedelta(days=40), reason="sea")
    run()
    assert "can no longer be where it has them" in published().reason
    moved = compare(first, published())
    assert [one.serial for one in moved] == ["C26-0001"]
    assert moved[0].days >= 20
    assert f"{owner} is away when" in moved[0].why


@pytest.mark.parametrize("count", [1, 6])
def test_the_page_asks_a_fixed_number_of_times(client, planned, count, django_assert_max_num_queries):
    for _time in range(count):
        run()
    with django_assert_max_num_queries(16):
        client.get(PAGE)
