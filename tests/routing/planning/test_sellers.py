"""Two sellers press together: both end with dates, each true, no hand and no place given twice."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

import pytest
from django.utils import timezone

from routing import jobs
from routing.models import Booking, Job, JobState, PlannedBuild
from routing.planning.jobs import REPLAN, ask_replan
from routing.planning.promising import PlaceGone, accept_promise, quote_order
from routing.planning.published import forget, pointer
from routing.planning.stored import unpack
from tests.routing.planning.planned_shop import FACTS, build, crew, published, run, spec, tasks
from tests.routing.test_races import at_once

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def owner(transactional_db):
    seller = crew(1)[0]
    build(seller, "C26-0001", promise=timezone.localdate() + timedelta(days=300))
    run()
    return seller


def seller(owner, shown, also_later):
    ordered, now = spec(owner), timezone.now()
    return lambda: accept_promise(
        spec=ordered, facts=FACTS, tasks=tasks(), shown=shown, also_later=also_later, person=owner, now=now
    )


def on_two_at_once(bookings) -> int:
    """How many quarter-hours the one person of the shop was given away twice."""
    spans = []
    for rows in (unpack(bytes(booking.rows)) for booking in bookings):
        worked = rows.person > 0
        spans += zip(rows.begins[worked].tolist(), rows.ends[worked].tolist(), strict=True)
    return sum(max(0, ends - begins) for (_b, ends), (begins, _e) in pairwise(sorted(spans)))


def test_two_sellers_who_take_a_later_day_too_get_two_true_dates(owner):
    shown = quote_order(tasks(), now=timezone.now()).promise.promised_on
    answers = at_once(seller(owner, shown, True), seller(owner, shown, True))
    first, second = sorted(answers, key=lambda booking: booking.pk)
    assert first.promised_on == shown
    assert second.promised_on > shown, "one pair of hands builds one after the other"
    assert on_two_at_once(answers) == 0
    forget()
    run()
    leaves = {row.booking_id: timezone.localdate(row.leaves) for row in PlannedBuild.objects.filter(plan=published())}
    assert all(leaves[booking.pk] <= booking.promised_on for booking in answers)


def test_two_sellers_of_one_place_the_second_is_told_the_new_day(owner):
    shown = quote_order(tasks(), now=timezone.now()).promise.promised_on
    answers = at_once(seller(owner, shown, False), seller(owner, shown, False))
    gone = [answer for answer in answers if isinstance(answer, PlaceGone)]
    assert len(gone) == 1
    assert gone[0].promise.promised_on > shown
    assert Booking.objects.count() == 1
    again = seller(owner, gone[0].promise.promised_on, False)()
    assert again.promised_on == gone[0].promise.promised_on


def test_eight_acceptances_ask_for_one_plan(owner):
    Job.objects.all().delete()
    at_once(*[ask_replan] * 8)
    assert Job.objects.filter(kind=REPLAN, state=JobState.QUEUED).count() == 1


def test_two_workers_never_make_a_plan_at_the_same_time(owner):
    Job.objects.all().delete()
    build(owner, "C26-0002")
    both = [Job.objects.create(kind=REPLAN) for _ in range(2)]
    before = pointer().version
    at_once(*[lambda job=job: jobs.run(job.pk) for job in both])
    results = [Job.objects.get(pk=job.pk).result for job in both]
    waited = [result for result in results if "waits" in result]
    made = [result for result in results if "plan" in result]
    assert len(made) + len(waited) == 2
    assert made
    assert Job.objects.filter(kind=REPLAN).count() == 2 + len(waited), "who waited is made up for"
    assert pointer().version == before + sum(result["published"] for result in made)
    assert (pointer().made_by, pointer().again) == (None, False)
