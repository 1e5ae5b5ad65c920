"""Two managers put the rush tag on two instruments at the same moment: one winner, on SQLite and PostgreSQL alike."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from routing import jobs
from routing.errors import WrongState
from routing.models import Build, RushTag, Trial
from routing.plan.trial import RUSH_WEIGHT
from routing.planning.deciding import ask_trial
from routing.planning.rushing import lift_rush, put_rush
from tests.routing.planning.planned_shop import build, crew, run
from tests.routing.test_races import at_once

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def trials(transactional_db):
    """Two worked out expedite trials, of two instruments, and who asked for them."""
    person, today = crew(1)[0], timezone.localdate()
    builds = [build(person, f"C26-000{at}", promise=today + timedelta(days=100 + at)) for at in (1, 2)]
    run()
    return person, [tried(made, person) for made in builds]


def tried(made: Build, person) -> Trial:
    trial = ask_trial(changes=[{"kind": "rush", "build": made.pk}], person=person, now=timezone.now())
    jobs.run(trial.job_id)
    return Trial.objects.get(pk=trial.pk)


def put(trial: Trial, person):
    return lambda: put_rush(trial=trial, reason="a tour", fee="20 %", initials="AV", person=person, now=timezone.now())


def test_one_tag_however_many_hands(trials):
    person, both = trials
    answers = at_once(*[put(trial, person) for trial in both])
    tags = [answer for answer in answers if isinstance(answer, RushTag)]
    refused = [str(answer) for answer in answers if isinstance(answer, WrongState)]
    assert (len(tags), len(refused)) == (1, 1)
    assert refused[0] == f"{tags[0].build.serial} has the rush tag; only one instrument has it. Lift it first."
    assert list(Build.objects.filter(weight__gte=RUSH_WEIGHT)) == [tags[0].build]
    assert sorted(Trial.objects.values_list("state", flat=True)) == ["kept", "ready"]


def test_the_same_trial_puts_it_once_and_a_tag_is_lifted_once(trials):
    person, both = trials
    answers = at_once(*[put(both[0], person)] * 4)
    tag = next(answer for answer in answers if isinstance(answer, RushTag))
    assert [type(answer) for answer in answers].count(RushTag) == 1
    lifts = [lambda: lift_rush(tag=tag, reason="played", person=person, now=timezone.now())] * 4
    assert [type(answer) for answer in at_once(*lifts)].count(RushTag) == 1
    assert not Build.objects.filter(weight__gte=RUSH_WEIGHT).exists()
