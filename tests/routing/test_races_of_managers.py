"""Two managers at once: a proposal is decided once, a design moves once, a part in stock goes to one build."""

from __future__ import annotations

import pytest

from routing.errors import WrongState
from routing.estimates import Estimate, EstimateProposal
from routing.estimating import accept_proposal, decline_proposal
from routing.head_starts import make_head_starts, take_head_start
from routing.models import Build, Task, TaskState
from routing.parts import HeadStart
from routing.services import make_build
from specs.designs import move_pattern
from specs.facts import OrderFacts
from specs.models import Pattern, PatternMove, Spec, Stage
from specs.starters import starter
from tests.routing.made import NOW, person
from tests.routing.test_races import at_once

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def boss(db):
    return person("avocet", "manager")


def refused(answers: list) -> int:
    return sum(isinstance(answer, WrongState) for answer in answers)


@pytest.mark.parametrize("time", range(3))
def test_a_proposal_is_decided_once(boss, time):
    row = EstimateProposal.objects.create(
        operation="Fretting", low_h=1, usual_h=2, high_h=3, evidence={}, computed_at=NOW
    )  # fmt: skip
    one = {"proposal_id": row.pk, "computed_at": NOW, "person": boss, "now": NOW}
    answers = at_once(
        lambda: accept_proposal(**one, open_too=True),
        lambda: accept_proposal(**one, open_too=False),
        lambda: decline_proposal(**one, reason="no"),
    )
    assert refused(answers) == 2
    assert Estimate.objects.count() == (EstimateProposal.objects.get().state == "accepted")


def test_a_design_moves_once(boss):
    design = Pattern.objects.create(name="Knot", strings=5, line="custom", document=starter(5), stage=Stage.IDEA)

    def moved(stage: str):
        return move_pattern(pattern=design, was="idea", stage=stage, reason="now", person=boss, now=NOW)

    assert refused(at_once(*[lambda stage=stage: moved(stage) for stage in ("drawing", "resting", "trial")])) == 2
    assert PatternMove.objects.count() == 1


@pytest.mark.parametrize("time", range(3))
def test_a_part_goes_to_one_build(boss, time):
    pattern = Pattern.objects.create(name="Knot", strings=5, line="custom", document=starter(5))
    work = make_head_starts(pattern=pattern, pieces=1, person=boss, now=NOW)
    long_ago = NOW.replace(year=2025)
    work.tasks.update(state=TaskState.DONE, started_at=long_ago, done_at=long_ago, person=boss)
    Build.objects.filter(pk=work.pk).update(finished_at=long_ago)
    builds = [wanted(boss, f"C26-000{place}") for place in range(4)]
    answers = at_once(
        *[
            lambda build=build: take_head_start(number="N26-0001-1", build=build, person=boss, now=NOW)
            for build in builds
        ]
    )
    assert refused(answers) == 3
    taker = HeadStart.objects.get().used_by
    assert set(Task.objects.filter(state=TaskState.DONE).exclude(build=work).values_list("build", flat=True)) == {
        taker.pk
    }


def wanted(boss, serial: str) -> Build:
    spec = Spec.objects.create(entered=starter(5), made_by=boss)
    made = make_build(serial=serial, spec=spec, facts=OrderFacts(), lived={}, promise=None, person=boss, now=NOW)
    Build.objects.filter(pk=made.pk).update(released_at=NOW)
    return made
