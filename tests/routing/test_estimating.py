"""Estimates follow finished work only where a manager says so: proposals, versions, open tasks, one winner."""

from __future__ import annotations

from datetime import time, timedelta

import pytest

from routing.adjustments import EstimateTable
from routing.catalogue import Touch, operation
from routing.errors import WrongState
from routing.estimates import Estimate, EstimateProposal, ProposalState
from routing.estimating import accept_proposal, decline_proposal, estimate_table, propose
from routing.models import TaskState
from routing.services import done_task, make_build, respec_build, start_task, undo_last
from routing.workdays import WorkCalendar
from specs.facts import OrderFacts
from specs.models import Spec
from specs.parsing import parse
from specs.starters import starter
from tests.routing.made import NOW, build, person, task

pytestmark = pytest.mark.django_db

FRETTING, TAPER = operation("Fretting"), operation("Neck taper and outline")
ALWAYS = WorkCalendar("Europe/Lisbon", (((time(0), time(0)),),) * 7)
LATER = NOW + timedelta(days=30)
FACTS = OrderFacts()


@pytest.fixture
def boss(db):
    return person("avocet", "manager")


def stainless() -> dict:
    document = starter(5)
    document["fingerboard"]["wire_metal"] = "stainless"
    return document


def finished(boss, hours: list[float], name: str = FRETTING.name, entered: dict | None = None, first: int = 0) -> None:
    """Finished tasks of so many hours, one a day."""
    for place, took in enumerate(hours, start=first):
        made = build(boss, (name, "fret-bench", (), 0), serial=f"C25-{place:04d}")
        if entered:
            Spec.objects.filter(pk=made.spec_id).update(entered=entered)
        at = NOW + timedelta(days=place % 20)
        start_task(task_id=task(made, 0).pk, person=boss, now=at)
        done_task(task_id=task(made, 0).pk, person=boss, now=at + timedelta(hours=took))


def only() -> EstimateProposal:
    return EstimateProposal.objects.get(state=ProposalState.PROPOSED)


def accepted(boss, open_too: bool = False) -> Estimate:
    found = only()
    return accept_proposal(
        proposal_id=found.pk, computed_at=found.computed_at, open_too=open_too, person=boss, now=LATER
    )


def ordered(boss, serial: str, entered: dict | None = None, now=LATER):
    spec = Spec.objects.create(entered=entered or starter(5), made_by=boss)
    return make_build(serial=serial, spec=spec, facts=FACTS, lived={}, promise=None, person=boss, now=now)


def usual(made, row=FRETTING) -> float:
    return made.tasks.get(operation=row.name).usual_h


def test_finished_work_is_proposed_with_its_evidence(boss):
    finished(boss, [6.0] * 7 + [60.0])
    assert propose(FRETTING, ALWAYS, LATER) == 1
    found = only()
    weight = 7 / (7 + 8)
    assert found.usual_h == pytest.approx(weight * 6 + (1 - weight) * FRETTING.touch_h.usual, abs=0.006)
    assert (found.evidence["count"], found.evidence["far_off_h"]) == (7, [60.0])
    assert found.evidence["median_h"] == pytest.approx(6)


def test_presses_taken_back_do_not_count(boss):
    finished(boss, [6.0] * 5)
    made = build(boss, (FRETTING.name, "fret-bench", (), 0), serial="C25-0900")
    start_task(task_id=task(made, 0).pk, person=boss, now=NOW)
    done_task(task_id=task(made, 0).pk, person=boss, now=NOW + timedelta(hours=1))
    undo_last(task_id=task(made, 0).pk, person=boss, now=NOW + timedelta(hours=1, seconds=20))
    done_task(task_id=task(made, 0).pk, person=boss, now=NOW + timedelta(hours=6))
    propose(FRETTING, ALWAYS, LATER)
    assert only().evidence["kept_h"] == [6.0] * 6


def test_a_condition_is_learned_apart(boss):
    finished(boss, [6.0] * 5)
    finished(boss, [14.0] * 5, entered=stainless(), first=5)
    assert propose(FRETTING, ALWAYS, LATER) == 2
    found = {row.condition: row.evidence["median_h"] for row in EstimateProposal.objects.all()}
    assert found == {"": 6.0, "stainless wire": 14.0}


def test_working_out_again_changes_the_open_proposal_and_takes_back_what_fell(boss):
    finished(boss, [6.0] * 6)
    propose(FRETTING, ALWAYS, LATER)
    first = only()
    finished(boss, [6.2] * 3, first=6)
    propose(FRETTING, ALWAYS, LATER)
    assert (only().pk, only().evidence["count"]) == (first.pk, 9)
    finished(boss, [1.5, 2.0, 2.5, 3.2, 5.0] * 20, first=9)  # as the catalogue says: 1.5, 2.5, 5
    assert propose(FRETTING, ALWAYS, LATER) == 0
    assert not EstimateProposal.objects.exists()


def test_accepting_counts_for_new_builds_only(boss):
    old = ordered(boss, "C26-0001", now=NOW)
    before = usual(old)
    finished(boss, [6.0] * 12)
    propose(FRETTING, ALWAYS, LATER)
    made = accepted(boss)
    assert usual(old) == before == FRETTING.touch_h.usual
    assert usual(ordered(boss, "C26-0002")) == made.usual_h


def test_what_is_not_conditional_follows_too(boss):
    finished(boss, [6.0] * 12, TAPER.name)
    propose(TAPER, ALWAYS, LATER)
    assert accepted(boss).usual_h == usual(ordered(boss, "C26-0002"), TAPER)


def test_ticked_it_counts_for_open_work_not_yet_started(boss):
    waiting, begun = (ordered(boss, f"C26-000{place}", now=NOW) for place in (1, 2))
    begun.tasks.filter(operation=FRETTING.name).update(state=TaskState.ON_BENCH, started_at=NOW, person=boss)
    finished(boss, [6.0] * 12)
    propose(FRETTING, ALWAYS, LATER)
    assert only().evidence["ahead"] == 1
    made = accepted(boss, open_too=True)
    assert (usual(waiting), usual(begun)) == (made.usual_h, FRETTING.touch_h.usual)


def test_hours_accepted_without_a_condition_are_adjusted_under_one(boss):
    hard = ordered(boss, "C26-0001", stainless(), now=NOW)
    finished(boss, [6.0] * 12)
    propose(FRETTING, ALWAYS, LATER)
    made = accepted(boss, open_too=True)
    assert usual(hard) == pytest.approx(1.4 * made.usual_h)


def test_a_changed_spec_keeps_the_hours_of_its_build(boss):
    """Release expands a build again; that must not bring in hours accepted since, silently."""
    made = ordered(boss, "C26-0001", now=NOW)
    finished(boss, [6.0] * 12)
    propose(FRETTING, ALWAYS, LATER)
    accepted(boss)
    respec_build(build=made, spec=made.spec, facts=FACTS, person=boss, now=LATER)
    assert usual(made) == FRETTING.touch_h.usual


def test_after_acceptance_the_same_work_asks_for_nothing_more(boss):
    finished(boss, [6.0] * 7)
    propose(FRETTING, ALWAYS, LATER)
    accepted(boss)
    assert propose(FRETTING, ALWAYS, LATER) == 0


def test_a_declined_proposal_rests_until_more_is_finished(boss):
    finished(boss, [6.0] * 7)
    propose(FRETTING, ALWAYS, LATER)
    found = only()
    decline_proposal(proposal_id=found.pk, computed_at=found.computed_at, reason="new jig", person=boss, now=NOW)
    assert propose(FRETTING, ALWAYS, LATER) == 1  # six of the seven were done after that moment
    found = only()
    decline_proposal(proposal_id=found.pk, computed_at=found.computed_at, reason="new jig", person=boss, now=LATER)
    assert propose(FRETTING, ALWAYS, LATER) == 0


def test_one_decision_counts(boss):
    finished(boss, [6.0] * 7)
    propose(FRETTING, ALWAYS, LATER)
    found = only()
    accepted(boss)
    with pytest.raises(WrongState, match="accepted by"):
        decline_proposal(proposal_id=found.pk, computed_at=found.computed_at, reason="no", person=boss, now=LATER)
    assert Estimate.objects.count() == 1


def test_figures_that_were_not_shown_are_not_accepted(boss):
    finished(boss, [6.0] * 7)
    propose(FRETTING, ALWAYS, LATER)
    seen = only()
    propose(FRETTING, ALWAYS, LATER + timedelta(hours=1))
    with pytest.raises(WrongState, match="worked out again"):
        accept_proposal(proposal_id=seen.pk, computed_at=seen.computed_at, open_too=False, person=boss, now=LATER)


def test_declining_needs_a_reason(boss):
    finished(boss, [6.0] * 7)
    propose(FRETTING, ALWAYS, LATER)
    with pytest.raises(WrongState, match="reason"):
        decline_proposal(
            proposal_id=only().pk, computed_at=only().computed_at, reason=" ", person=boss, now=LATER
        )  # fmt: skip


def test_the_newest_version_counts_and_the_older_stay(boss):
    for at, hours in ((NOW, 5.0), (LATER, 6.0)):
        Estimate.objects.create(
            operation=FRETTING.name, low_h=1, usual_h=hours, high_h=9, accepted_by=boss, at=at
        )  # fmt: skip
    assert estimate_table() == EstimateTable(((FRETTING.name, "", Touch(1, 6, 9)),))
    assert estimate_table(NOW + timedelta(days=1)) == EstimateTable(((FRETTING.name, "", Touch(1, 5, 9)),))


@pytest.mark.parametrize("count", [1, 30])
def test_working_out_asks_a_fixed_number_of_times(boss, count, django_assert_num_queries):
    finished(boss, [6.0] * (5 + count))
    parse(starter(5))
    propose(FRETTING, ALWAYS, LATER)
    with django_assert_num_queries(11):
        propose(FRETTING, ALWAYS, LATER)
