"""Trial plans: each kind on a small shop, the published plan bit for bit as it was, kept, dropped, refused."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from routing import jobs
from routing.changes import KINDS, require_changes
from routing.models import Booking, Holiday, Job, JobState, Overtime, Plan, Station, Trial
from routing.plan.checker import violations
from routing.planning.deciding import TRY, ask_trial, drop_trial, keep_trial
from routing.planning.jobs import REPLAN
from routing.planning.making import read_line
from routing.planning.moves import Move
from routing.planning.published import pointer, rows_of_plan
from routing.planning.trying import as_planned, changed
from routing.plans import PlanKind
from routing.trials import TrialState
from specs.errors import Refused, WrongState
from specs.models import Pattern
from specs.starters import starter
from tests.routing.planning.planned_shop import build, crew, published, run

pytestmark = pytest.mark.django_db


@pytest.fixture
def people(db):
    return crew(1)


@pytest.fixture
def shop(people):
    """Four instruments for one pair of hands, promised one after another."""
    builds = [build(people[0], f"C26-000{place}", promise=day(80 + 20 * place)) for place in range(1, 5)]
    run()
    return builds


def day(ahead: int):
    return timezone.localdate() + timedelta(days=ahead)


def change(kind: str, **more) -> dict:
    return {"kind": kind, "first": day(7).isoformat()} | more


def station() -> int:
    return Station.objects.get(slug="fret-bench").pk


def a_pattern() -> Pattern:
    return Pattern.objects.create(name="Turnstone", strings=5, line="custom", document=starter(5))


def every_kind(who: int, of: int) -> dict[str, dict]:
    return {
        "person": change("person", like=who),
        "place": change("place", station=station()),
        "overtime": change("overtime", person=who, station=0, hours=6, weeks=8),
        "closed": change("closed", last=day(20).isoformat()),
        "orders": change("orders", pattern=a_pattern().pk, count=3, weeks=12),
        "rush": {"kind": "rush", "build": of},
    }


def tried(*changes: dict, person) -> Trial:
    """A trial worked out here and now."""
    trial = ask_trial(changes=list(changes), person=person, now=timezone.now())
    jobs.run(trial.job_id)
    trial.refresh_from_db()
    assert trial.job.state == JobState.DONE, trial.job.message
    return trial


def test_every_kind_declared_can_be_tried(people, shop):
    changes = every_kind(people[0].pk, shop[3].pk)
    assert changes.keys() == {kind.slug for kind in KINDS}
    for one in changes.values():
        require_changes([one], timezone.localdate())
        line = read_line(timezone.now(), rows_of_plan(published().pk), [])
        other = changed(line, [one], timezone.now())
        made = as_planned(other, rows_of_plan(published().pk))
        assert violations(other.problem, made.plan) == [], one["kind"]


def test_all_at_once_and_the_published_plan_stays_bit_for_bit(people, shop):
    was = pointer()
    kept, plan = bytes(was.plan.rows), was.plan
    trial = tried(*every_kind(people[0].pk, shop[3].pk).values(), person=people[0])
    now = pointer()
    assert (now.version, now.plan_id, now.changed_at) == (was.version, was.plan_id, was.changed_at)
    assert bytes(Plan.objects.get(pk=plan.pk).rows) == kept
    assert Plan.objects.get(pk=plan.pk).published_at == plan.published_at
    assert (trial.state, trial.plan.kind, trial.plan.published_at) == (TrialState.READY, PlanKind.TRIAL, None)
    assert not Holiday.objects.exists()
    assert not Overtime.objects.exists()
    assert not Booking.objects.exists()


def moves(trial: Trial) -> dict[int, int]:
    return {move.build: move.days for move in (Move(*row) for row in trial.result["moves"])}


def test_a_second_pair_of_hands_brings_everything_forward(people, shop):
    trial = tried(change("person", like=people[0].pk), person=people[0])
    assert moves(trial)
    assert max(moves(trial).values()) <= 0
    assert trial.result["after"]["days"] <= trial.result["before"]["days"]


def test_a_closed_fortnight_delays_by_about_as_much(people, shop):
    trial = tried(change("closed", last=day(20).isoformat()), person=people[0])
    assert min(moves(trial).values()) >= 0
    assert 7 <= max(moves(trial).values()) <= 21
    later = list(moves(trial).values())
    assert later == sorted(later, key=abs, reverse=True)


def test_overtime_brings_forward(people, shop):
    trial = tried(change("overtime", person=people[0].pk, station=0, hours=10, weeks=20), person=people[0])
    assert min(moves(trial).values()) < 0


def test_ten_more_orders_are_no_move_of_their_own(people, shop):
    trial = tried(change("orders", pattern=a_pattern().pk, count=10, weeks=4), person=people[0])
    assert set(moves(trial)) <= {one.pk for one in shop}
    assert trial.result["after"]["late"] >= trial.result["before"]["late"]


def test_an_expedite_delays_others_and_says_by_how_much(people, shop):
    trial = tried({"kind": "rush", "build": shop[3].pk}, person=people[0])
    assert moves(trial)[shop[3].pk] < 0
    assert any(days > 0 for key, days in moves(trial).items() if key != shop[3].pk)


def test_kept_overtime_is_written_down_and_a_new_plan_asked_for(people, shop, django_capture_on_commit_callbacks):
    trial = tried(change("overtime", person=people[0].pk, station=0, hours=6, weeks=2), person=people[0])
    with django_capture_on_commit_callbacks(execute=True):
        kept = keep_trial(trial=trial, person=people[0], now=timezone.now())
    rows = Overtime.objects.filter(person=people[0])
    minutes = sum(60 * (one.ends.hour - one.begins.hour) + one.ends.minute - one.begins.minute for one in rows)
    assert 6 * 60 <= minutes <= 12 * 60
    assert (kept.state, kept.by_hand) == (TrialState.KEPT, [])
    assert Job.objects.filter(kind=REPLAN, state=JobState.QUEUED).count() == 1


def test_kept_closed_days_are_closed(people, shop):
    trial = tried(change("closed", last=day(20).isoformat()), person=people[0])
    keep_trial(trial=trial, person=people[0], now=timezone.now())
    assert Holiday.objects.count() == 10
    assert not [row for row in Holiday.objects.all() if row.date.weekday() > 4]


def test_hands_and_places_are_said_not_written(people, shop):
    before = Station.objects.get(slug="fret-bench").places
    trial = tried(change("place", station=station()), change("person", like=people[0].pk), person=people[0])
    kept = keep_trial(trial=trial, person=people[0], now=timezone.now())
    assert [said.split()[0] for said in kept.by_hand] == ["Set", "Find"]
    assert Station.objects.get(slug="fret-bench").places == before


def test_a_trial_is_decided_once(people, shop):
    trial = tried(change("place", station=station()), person=people[0])
    dropped = drop_trial(trial=trial, person=people[0], now=timezone.now())
    assert (dropped.state, dropped.plan) == (TrialState.DROPPED, None)
    assert not Plan.objects.filter(kind=PlanKind.TRIAL).exists()
    with pytest.raises(WrongState, match="dropped"):
        keep_trial(trial=trial, person=people[0], now=timezone.now())


def test_dropped_before_its_turn_it_is_not_worked_out(people, shop):
    trial = ask_trial(changes=[change("place", station=station())], person=people[0], now=timezone.now())
    drop_trial(trial=trial, person=people[0], now=timezone.now())
    jobs.run(trial.job_id)
    trial.refresh_from_db()
    assert (trial.state, trial.plan, trial.result) == (TrialState.DROPPED, None, {})
    assert trial.job.state == JobState.CANCELLED


def test_cancelled_while_it_runs_nothing_is_kept(people, shop):
    trial = ask_trial(changes=[change("place", station=station())], person=people[0], now=timezone.now())
    Job.objects.filter(pk=trial.job_id).update(cancel=True)
    jobs.run(trial.job_id)
    trial.refresh_from_db()
    assert (trial.job.state, trial.plan) == (JobState.CANCELLED, None)


def test_work_that_cannot_be_placed_is_named(people, shop):
    shop[0].tasks.filter(operation="Fretting").update(low_h=90_000, usual_h=90_000, high_h=90_000)
    trial = ask_trial(changes=[change("place", station=station())], person=people[0], now=timezone.now())
    jobs.run(trial.job_id)
    trial.job.refresh_from_db()
    assert trial.job.state == JobState.FAILED
    assert "C26-0001 Fretting" in trial.job.message


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"kind": "moon"}, "0.kind"),
        ({"kind": "place", "station": 1}, "0"),
        ({"kind": "place", "station": 0, "first": "2026-04-20"}, "0.station"),
        ({"kind": "place", "station": True, "first": "2026-04-20"}, "0.station"),
        ({"kind": "place", "station": 1, "first": "soon"}, "0.first"),
        ({"kind": "place", "station": 1, "first": "2026-04-12"}, "0.first"),
        ({"kind": "closed", "first": "2026-04-20", "last": "2026-04-19"}, "0.last"),
        ({"kind": "closed", "first": "2026-04-20", "last": "2026-08-19"}, "0.last"),
        ({"kind": "overtime", "person": 1, "station": 1, "hours": 5, "weeks": 2, "first": "2026-04-20"}, "0.person"),
        ({"kind": "overtime", "person": 0, "station": 0, "hours": 5, "weeks": 2, "first": "2026-04-20"}, "0.person"),
        ({"kind": "overtime", "person": 1, "station": 0, "hours": 16, "weeks": 2, "first": "2026-04-20"}, "0.hours"),
        ({"kind": "orders", "pattern": 1, "count": 0, "weeks": 9, "first": "2026-04-20"}, "0.count"),
    ],
)
def test_what_is_no_change_is_refused_with_its_field(wrong, field):
    with pytest.raises(Refused) as refused:
        require_changes([wrong], date(2026, 4, 13))
    assert [problem.field for problem in refused.value.problems] == [field]


def test_nothing_to_try_is_refused(db):
    with pytest.raises(Refused, match="Tick what to try"):
        require_changes([], timezone.localdate())


def test_the_job_is_registered_once():
    assert TRY in jobs.REGISTRY
