"""Background work: each row done once, cancelled, failed and swept as promised."""

from datetime import timedelta

import pytest
from django.db import transaction
from django.utils import timezone

from routing import jobs
from routing.errors import WrongState
from routing.models import Job, JobState

pytestmark = pytest.mark.django_db


@pytest.fixture
def kinds():
    before = dict(jobs.REGISTRY)
    yield jobs.REGISTRY
    jobs.REGISTRY.clear()
    jobs.REGISTRY.update(before)


@pytest.fixture
def counted(kinds):
    calls = []

    @jobs.job("count frets")
    def count(progress, *, frets):
        progress.set(40, "counting")
        calls.append(frets)
        return {"frets": frets}

    return calls


def running(kind, **fields):
    return Job.objects.create(kind=kind, state=JobState.RUNNING, tries=1, **fields)


def test_a_job_is_done_once_however_often_it_is_woken(counted):
    asked = jobs.ask("count frets", person=None, frets=24)
    for _ in range(3):
        jobs.run(asked.pk)
    asked.refresh_from_db()
    assert counted == [24]
    assert (asked.state, asked.progress, asked.result, asked.tries) == (JobState.DONE, 100, {"frets": 24}, 1)
    assert asked.ended_at is not None


def test_a_running_job_is_not_taken_twice(counted):
    taken = running("count frets", arguments={"frets": 24}, heartbeat_at=timezone.now())
    jobs.run(taken.pk)
    assert counted == []


def test_asking_is_undone_with_its_transaction(counted, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks() as woken, transaction.atomic():
        jobs.ask("count frets", person=None, frets=24)
        transaction.set_rollback(True)
    assert (list(Job.objects.all()), woken) == ([], [])


def test_a_worker_is_woken_on_commit_only(counted, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks() as woken:
        jobs.ask("count frets", person=None, frets=24)
    assert len(woken) == 1


def test_an_unknown_kind_is_refused():
    with pytest.raises(KeyError):
        jobs.ask("polish the moon", person=None)


def test_two_functions_for_one_kind_are_refused(counted):
    with pytest.raises(ValueError, match="count frets"):
        jobs.job("count frets")(print)


def test_an_error_fails_with_words_and_is_logged(kinds, caplog):
    @jobs.job("divide")
    def divide(progress):
        return 1 / 0

    asked = jobs.ask("divide", person=None)
    jobs.run(asked.pk)
    asked.refresh_from_db()
    assert asked.state == JobState.FAILED
    assert "ZeroDivisionError" in asked.message
    assert "failed" in caplog.text


def test_a_refusal_fails_with_its_reason(kinds):
    @jobs.job("refuse")
    def refuse(progress):
        raise WrongState("revision B was released meanwhile")

    asked = jobs.ask("refuse", person=None)
    jobs.run(asked.pk)
    asked.refresh_from_db()
    assert (asked.state, asked.message) == (JobState.FAILED, "revision B was released meanwhile")


def test_a_queued_job_is_cancelled_at_once(counted):
    asked = jobs.ask("count frets", person=None, frets=24)
    jobs.cancel(asked.pk)
    jobs.run(asked.pk)
    asked.refresh_from_db()
    assert (asked.state, counted) == (JobState.CANCELLED, [])


def test_a_running_job_is_cancelled_at_its_next_heartbeat(kinds):
    @jobs.job("long")
    def long(progress):
        jobs.cancel(asked.pk)
        progress.set(50)
        raise AssertionError("went on after the heartbeat")

    asked = jobs.ask("long", person=None)
    jobs.run(asked.pk)
    asked.refresh_from_db()
    assert asked.state == JobState.CANCELLED


def test_cancelling_an_ended_job_changes_nothing(counted):
    asked = jobs.ask("count frets", person=None, frets=24)
    jobs.run(asked.pk)
    jobs.cancel(asked.pk)
    asked.refresh_from_db()
    assert (asked.state, asked.cancel) == (JobState.DONE, False)


def test_a_worker_that_lost_its_row_writes_no_more(kinds):
    @jobs.job("slow")
    def slow(progress):
        Job.objects.filter(pk=asked.pk).update(tries=2, progress=7)
        progress.set(90)
        raise AssertionError("went on after losing the row")

    asked = jobs.ask("slow", person=None)
    jobs.run(asked.pk)
    asked.refresh_from_db()
    assert (asked.state, asked.progress, asked.tries) == (JobState.RUNNING, 7, 2)


@pytest.mark.parametrize(
    ("tries", "cancel", "silent_for", "state"),
    [
        (1, False, 3, JobState.QUEUED),
        (1, False, 1, JobState.RUNNING),
        (3, False, 3, JobState.FAILED),
        (1, True, 3, JobState.CANCELLED),
    ],
)
def test_the_sweep_of_a_running_job(counted, tries, cancel, silent_for, state):
    heartbeat = timezone.now() - timedelta(minutes=silent_for)
    row = Job.objects.create(
        kind="count frets", state=JobState.RUNNING, tries=tries, cancel=cancel, heartbeat_at=heartbeat
    )
    jobs.sweep()
    row.refresh_from_db()
    assert row.state == state


def test_the_sweep_announces_again_what_nobody_took(counted):
    now = timezone.now()
    row = Job.objects.create(kind="count frets", arguments={"frets": 24})
    jobs.sweep(now + timedelta(seconds=20))
    row.refresh_from_db()
    assert row.heartbeat_at is None
    jobs.sweep(now + timedelta(seconds=40))
    row.refresh_from_db()
    assert (row.state, row.heartbeat_at) == (JobState.QUEUED, now + timedelta(seconds=40))
