"""Release: every condition told at once, everything done at once, one winner."""

from datetime import timedelta

import pytest
from django.conf import settings
from django.utils import timezone

from routing.errors import WrongState
from routing.models import Job, JobState, TaskState
from routing.planning.jobs import REPLAN
from routing.services import start_task
from shop.orders.models import OrderEvent
from shop.orders.services import initial_caution, keep_draft, revise_spec
from shop.papers.models import Sheet
from shop.papers.services import blocks, issue_sheet, release_order, release_task
from specs.errors import Refused
from specs.models import Spec
from tests.routing.test_races import at_once

pytestmark = pytest.mark.django_db


@pytest.fixture
def now():
    return timezone.now()


def revised(order, person, now, **finish):
    order = revise_spec(order=order, person=person, now=now)
    entered = {**order.spec.entered, "finish": {**order.spec.entered.get("finish", {}), **finish}}
    return keep_draft(order=order, entered=entered, version=order.spec.entered_version, person=person, now=now)


def test_release_freezes_the_spec_ends_its_task_and_issues_the_traveller(ready, manager, now):
    order = ready()
    sheet = release_order(order=order, person=manager, now=now)
    spec, build = Spec.objects.get(pk=order.spec_id), order.build
    build.refresh_from_db()
    task = release_task(build)
    assert (spec.released_at, spec.digest_holds(), build.released_at, build.spec_id) == (now, True, now, spec.pk)
    assert (task.state, task.done_at, task.person) == (TaskState.DONE, now, manager)
    assert (sheet.spec_id, sheet.paper, sheet.issued_at, sheet.job.kind) == (spec.pk, settings.PAPER, now, "traveller")
    assert sheet.job.arguments == {"sheet_id": sheet.pk}
    assert OrderEvent.objects.filter(order=order, what="revision A released").count() == 1


def test_everything_that_stands_against_it_is_told_at_once(placed, manager, now):
    order = placed(change=lambda document: document["hardware"].update(colour="black"))
    order.customer = None
    order.save()
    with pytest.raises(Refused) as refused:
        release_order(order=order, person=manager, now=now)
    fields = [problem.field for problem in refused.value.problems]
    assert fields[-2:] == ["customer", "deposit"]
    assert blocks(order, now) == refused.value.problems


def test_a_build_whose_work_is_behind_is_not_released(ready, manager, now):
    order = ready()
    task = release_task(order.build)
    order.build.tasks.filter(position__in=task.after).update(state=TaskState.READY, done_at=None)
    order.build.tasks.filter(pk=task.pk).update(state=TaskState.NOT_READY, ready_at=None)
    assert [(one.field, one.code) for one in blocks(order, now)] == [("tasks", "not-ready")]


def test_an_open_caution_stops_it_until_somebody_initials(ready, manager, now):
    order = ready(change=lambda document: document["hardware"].update(colour="black", bridge_colour="black"))
    cautions = [one for one in blocks(order, now) if "Initial this caution" in one.message]
    assert cautions == list(blocks(order, now)) != []
    for one in cautions:
        told = {"initials": "AV", "reason": "the customer has such a set", "person": manager, "now": now}
        initial_caution(order=order, rule=one.code, field=one.field, **told)
    assert release_order(order=order, person=manager, now=now).pk


def test_the_second_release_learns_it_came_too_late(ready, manager, now):
    order = ready()
    release_order(order=order, person=manager, now=now)
    with pytest.raises(WrongState):
        release_order(order=order, person=manager, now=now)
    assert (Sheet.objects.count(), Job.objects.count()) == (1, 1)


def test_a_release_that_fails_late_leaves_nothing_behind(ready, sales, now):
    order = ready()
    with pytest.raises(Exception, match="not qualified"):
        release_order(order=order, person=sales, now=now)
    assert not Spec.objects.get(pk=order.spec_id).is_released
    assert not Sheet.objects.exists()


def test_a_new_revision_is_released_onto_the_same_build(ready, manager, now):
    order = ready()
    old = release_order(order=order, person=manager, now=now)
    first = order.build.tasks.filter(state=TaskState.READY, ready_at__lte=now).first()
    start_task(task_id=first.pk, person=manager, now=now)
    later = now + timedelta(hours=1)
    order = revised(order, manager, now, kind="two-component")
    new = release_order(order=order, person=manager, now=later)
    build = new.build
    assert (old.spec.revision, new.spec.revision, build.spec_id, build.released_at) == ("A", "B", new.spec_id, now)
    assert build.tasks.filter(operation__startswith="Sealer coats").exists()
    assert not build.tasks.filter(operation="Oil coats").exists()
    assert build.tasks.get(pk=first.pk).state == TaskState.ON_BENCH


def test_until_its_release_the_bench_sees_the_revision_before(ready, manager, now):
    order = ready()
    old = release_order(order=order, person=manager, now=now)
    revised(order, manager, now, kind="two-component")
    order.build.refresh_from_db()
    assert order.build.spec_id == old.spec_id


def test_another_paper_follows_from_the_same_release(ready, manager, now):
    order = ready()
    first = release_order(order=order, person=manager, now=now)
    other = "Letter" if first.paper == "A4" else "A4"
    letter = issue_sheet(build=first.build, paper=other, person=manager, now=now)
    again = issue_sheet(build=first.build, paper=other, person=manager, now=now)
    assert (letter.paper, letter.pk, letter.job_id) == (other, again.pk, again.job_id)
    with pytest.raises(Refused):
        issue_sheet(build=first.build, paper="A3", person=manager, now=now)


def test_a_failed_rendering_can_be_asked_for_again(ready, manager, now):
    first = release_order(order=ready(), person=manager, now=now)
    Job.objects.filter(pk=first.job_id).update(state=JobState.FAILED)
    again = issue_sheet(build=first.build, paper=first.paper, person=manager, now=now)
    assert (again.pk, again.job_id) != (first.pk, first.job_id)
    assert again.pk == first.pk


def test_nothing_is_printed_before_release(ready, manager, now):
    with pytest.raises(WrongState):
        issue_sheet(build=ready().build, paper="A4", person=manager, now=now)


@pytest.mark.django_db(transaction=True)
def test_two_at_once_have_one_winner(flushable, ready, manager, now):
    order = ready()
    answers = at_once(*[lambda: release_order(order=order, person=manager, now=now)] * 2)
    assert sorted(type(answer).__name__ for answer in answers) == ["Sheet", "WrongState"]
    assert Sheet.objects.count() == 1
    assert sorted(Job.objects.values_list("kind", flat=True)) == [REPLAN, "traveller"]
