"""The page of estimates: evidence and picture, accepting with the tick, declining with a reason, and who may."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from routing import jobs
from routing.estimates import Estimate, EstimateProposal, ProposalState
from routing.models import Job, JobState
from routing.services import done_task, start_task
from shop.backlog.jobs import LEARN
from tests.routing.made import build, task

pytestmark = pytest.mark.django_db
OPERATION = "Neck taper and outline"


@pytest.fixture
def client(client_of, manager):
    return client_of(manager)


def proposed(operation: str = OPERATION, **more) -> EstimateProposal:
    evidence = {
        "count": 7, "median_h": 3.0, "spread_h": [2.5, 3.5], "kept_h": [2.5, 2.8, 2.9, 3.0, 3.1, 3.2, 3.5],
        "far_off_h": [40.0], "untimed": 2, "pressed_together": 1, "before_h": [1.0, 2.0, 3.0],
        "ahead": 4, "ahead_h": 2.0,
    }  # fmt: skip
    return EstimateProposal.objects.create(
        operation=operation, low_h=1.7, usual_h=2.5, high_h=3.3, evidence=evidence, computed_at=timezone.now(), **more
    )


def press(client, address: str, found: EstimateProposal, **sent):
    sent = {"press": str(uuid4()), "computed": found.computed_at.isoformat()} | sent
    return client.post(f"/backlog/estimates/{found.pk}/{address}/", sent)


def test_an_empty_page_says_how_proposals_come(client):
    assert "five finished tasks are the fewest" in client.get("/backlog/estimates/").content.decode()


def test_the_evidence_stands_there_in_words_picture_and_table(client):
    proposed()
    page = client.get("/backlog/estimates/").content.decode()
    for words in ("7 finished tasks count: median 3 h", "far off", "40 h", "Start and Done pressed together: 1",
                  "Done without a start: 2", "<title>Hours of finished tasks", "As a table",
                  "4 tasks not yet started"):  # fmt: skip
        assert words in page


def test_accepting_writes_a_version_once(client, manager):
    found, token = proposed(), str(uuid4())
    for _again in range(2):
        assert press(client, "accept", found, press=token).status_code == 302
    made = Estimate.objects.get()
    assert (made.usual_h, made.accepted_by, made.open_too) == (2.5, manager, False)
    late = press(client, "accept", found)
    assert late.status_code == 409
    assert "accepted by" in late.content.decode()


def test_the_tick_is_passed_on(client):
    press(client, "accept", proposed(), open_too="1")
    assert Estimate.objects.get().open_too


def test_declining_keeps_the_reason(client):
    press(client, "decline", proposed(), reason="the jig was broken")
    assert "the jig was broken" in client.get("/backlog/estimates/").content.decode()
    assert EstimateProposal.objects.get().state == ProposalState.DECLINED


@pytest.mark.parametrize("sent", ["", "yesterday", "2026-02-31T00:00:00", "2026-02-03T00:00:00"])
def test_a_form_that_does_not_say_what_was_shown_changes_nothing(client, sent):
    assert press(client, "accept", proposed(), computed=sent).status_code == 409
    assert not Estimate.objects.exists()


def test_working_them_out_is_a_job_whose_result_waits(client, manager):
    now = timezone.now() - timedelta(days=8)
    for place in range(6):
        made = build(manager, (OPERATION, "neck-bench", (), 0), serial=f"C25-{place:04d}")
        start_task(task_id=task(made, 0).pk, person=manager, now=now)
        done_task(task_id=task(made, 0).pk, person=manager, now=now + timedelta(minutes=7))
    response = client.post("/backlog/estimates/work-out/", {"press": str(uuid4())})
    asked = Job.objects.get(kind=LEARN)
    assert response["Location"] == f"/papers/jobs/{asked.pk}/"
    jobs.run(asked.pk)
    asked.refresh_from_db()
    assert (asked.state, asked.result) == (JobState.DONE, {"proposals": 1})


def test_only_the_manager_opens_it(client_of, bench, sales):
    for person in (bench, sales):
        assert client_of(person).get("/backlog/estimates/").status_code == 403


def test_one_proposal_asks_as_much_as_fifty(client):
    def questions() -> int:
        with CaptureQueriesContext(connection) as caught:
            assert client.get("/backlog/estimates/").status_code == 200
        return len(caught)

    proposed()
    few = questions()
    for place in range(50):
        proposed(condition=f"word {place}")
    assert questions() == few
