"""Plans made in the background: kept and published with the reason, one at a time, never a broken one."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from django.db import connection
from django.utils import timezone

from routing import jobs
from routing.models import Job, JobState, Plan, PlannedBuild, PlanSettings, Task
from routing.plan.quote import empty_profile, taken_by
from routing.planning import jobs as planning_jobs
from routing.planning import making
from routing.planning.jobs import ask_improve, ask_replan, claim, release_claim
from routing.planning.published import pointer, rows_of_plan
from routing.planning.publishing import KEPT_VERSIONS, PlanBroken, decide, keep_plan, publish_plan
from routing.planning.stored import pack, taken_of, unpack
from routing.plans import PlanKind
from specs.errors import WrongState
from tests.routing.planning.planned_shop import IMPROVE, build, crew, published, run

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner():
    return crew()[0]


@pytest.fixture
def line(owner):
    build(owner, "C26-0001", promise=(timezone.localdate() + timedelta(days=300)))
    build(owner, "C26-0002")
    return making.read_line(timezone.now(), rows_of_plan(None), [])


def test_the_first_plan_is_published_with_every_open_task(owner):
    made = build(owner, "C26-0001")
    job = run()
    assert (job.state, job.result["reason"]) == (JobState.DONE, "the first plan")
    rows = rows_of_plan(published().pk)
    assert sorted(rows.task[rows.task > 0].tolist()) == sorted(made.tasks.values_list("pk", flat=True))
    planned = PlannedBuild.objects.get(plan=published())
    assert (planned.build, planned.booking) == (made, None)
    assert timezone.now() < planned.starts <= planned.leaves < planned.ends


def test_rows_come_back_as_they_were_kept(line):
    made = making.by_rule(line)
    rows = making.as_rows(line, made.plan)
    again = unpack(pack(rows))
    assert [column.tolist() for column in again] == [column.tolist() for column in rows]
    profile = empty_profile(line.problem.axis, line.problem.capacity)
    taken = taken_of(again, profile, line.backlog.shop)
    expected = taken_by(line.problem, made.plan)
    worked = expected.end > expected.begin
    for name in ("station", "person", "begin", "end", "rest_at"):
        assert np.array_equal(getattr(taken, name)[worked], getattr(expected, name)[worked]), name


def test_a_second_plan_is_published_only_for_a_reason(owner):
    build(owner, "C26-0001")
    run()
    first = published()
    again = run()
    assert again.result["reason"] == "no better than the published plan carried on"
    assert published() == first
    build(owner, "C26-0002")
    run()
    assert published() != first
    assert "tasks are new since, of C26-0002" in published().reason
    assert published().based_on == first


def test_the_improved_plan_is_searched_for_and_told(owner):
    PlanSettings.objects.create(pk=1, seconds=1)
    build(owner, "C26-0001", promise=timezone.localdate() + timedelta(days=20))
    job = run(IMPROVE)
    assert (job.state, job.progress) == (JobState.DONE, 100)
    assert published().kind == PlanKind.IMPROVED
    assert published().summary["how"] == "searched for 1 seconds"


@pytest.mark.parametrize(
    ("cost", "kept", "broken", "publish"),
    [(10, None, "", True), (9, 10, "", True), (9.9, 10, "", False), (10, 10, "", False), (12, 10, "", False),
     (12, 10, "a task slipped", True), (0, 0, "", False)],
)  # fmt: skip
def test_what_is_published(cost, kept, broken, publish):
    assert decide(cost, kept, broken, 0.02).publish is publish


def test_a_plan_with_a_fault_is_never_kept(line):
    made = making.by_rule(line)
    made.plan.start[5] = 0
    made.plan.end[5] = 0
    with pytest.raises(PlanBroken, match="not kept"):
        keep_plan(line=line, made=made, kind=PlanKind.QUICK, decision=decide(0, None, "", 0), based_on=None,
                  person=None, now=timezone.now())  # fmt: skip
    assert not Plan.objects.exists()
    assert pointer().plan is None


def test_a_crash_leaves_the_published_plan_and_the_next_job_its_turn(owner):
    build(owner, "C26-0001")
    run()
    first = published()
    build(owner, "C26-0002")

    def lights_out(execute, sql, params, many, context):
        if "routing_plannedbuild" in sql and sql.startswith("INSERT"):
            raise OSError("the lights went out")
        return execute(sql, params, many, context)

    with connection.execute_wrapper(lights_out):
        assert run().state == JobState.FAILED
    assert (published(), Plan.objects.count()) == (first, 1)
    assert run().result["published"] is True


def test_a_cancelled_search_changes_nothing(owner):
    build(owner, "C26-0001")
    asked = ask_improve()
    Job.objects.filter(pk=asked.pk).update(cancel=True)
    jobs.run(asked.pk)
    asked.refresh_from_db()
    assert (asked.state, pointer().plan, pointer().made_by) == (JobState.CANCELLED, None, None)


def test_work_nobody_may_do_is_refused_by_name(db):
    build(crew()[0], "C26-0001")
    Task.objects.exclude(operation="Fretting").update(usual_h=0, low_h=0, high_h=0)
    Task.objects.filter(operation="Fretting").update(usual_h=90_000, low_h=90_000, high_h=90_000)
    job = run()
    assert job.state == JobState.FAILED
    assert "C26-0001 Fretting" in job.message
    assert pointer().plan is None


def test_one_makes_a_plan_and_the_other_comes_after_it(owner):
    running = [Job.objects.create(kind=planning_jobs.REPLAN, state=JobState.RUNNING) for _ in range(2)]
    assert [claim(job.pk) for job in running] == [True, False]
    assert pointer().again is True
    release_claim(running[0].pk)
    assert Job.objects.filter(state=JobState.QUEUED).count() == 1
    assert (pointer().made_by, pointer().again) == (None, False)
    assert claim(running[1].pk)


def test_a_claim_whose_worker_died_counts_for_nothing(owner):
    dead = Job.objects.create(kind=planning_jobs.REPLAN, state=JobState.RUNNING)
    assert claim(dead.pk)
    Job.objects.filter(pk=dead.pk).update(state=JobState.FAILED)
    assert claim(Job.objects.create(kind=planning_jobs.REPLAN, state=JobState.RUNNING).pk)


def test_asked_twice_one_waits(owner):
    assert ask_replan() is not None
    assert ask_replan() is None
    assert ask_improve() == ask_improve()
    assert Job.objects.count() == 2


def test_the_last_versions_are_kept_and_the_published_one(line):
    made = making.by_rule(line)
    first = keep_plan(line=line, made=made, kind=PlanKind.QUICK, decision=decide(0, None, "", 0), based_on=None,
                      person=None, now=timezone.now())  # fmt: skip
    Plan.objects.bulk_create(
        Plan(kind=PlanKind.QUICK, made_at=timezone.now(), cost=1, rows=b"") for _ in range(KEPT_VERSIONS + 3)
    )
    keep_plan(line=line, made=made, kind=PlanKind.QUICK, decision=decide(9, 9, "", 0), based_on=None,
              person=None, now=timezone.now())  # fmt: skip
    assert Plan.objects.count() == KEPT_VERSIONS + 1
    assert published() == first


def test_a_trial_is_not_published(line):
    trial = Plan.objects.create(kind=PlanKind.TRIAL, made_at=timezone.now(), cost=1, rows=b"")
    with pytest.raises(WrongState, match="trial"):
        publish_plan(plan=trial, now=timezone.now())
