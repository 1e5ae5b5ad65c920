"""The forecast of the published plan: percentiles beside its builds, margins and loads in its summary."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from routing.models import Job, JobState, PlannedBuild
from routing.planning.forecasting import FORECAST, KEPT, ask_forecast, forecast_margins, latest_forecast
from routing.planning.published import pointer
from tests.routing.planning.planned_shop import build, crew, published, run

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner():
    return crew()[0]


@pytest.fixture
def forecasted(owner):
    """Two builds, one promised far away and one long ago; their plan with its forecast."""
    today = timezone.localdate()
    build(owner, "C26-0001", promise=today + timedelta(days=300))
    build(owner, "C26-0002", promise=today - timedelta(days=5))
    run()
    return run(FORECAST)


def test_percentiles_and_chances_stand_beside_the_builds(forecasted):
    assert (forecasted.state, forecasted.result["orders"]) == (JobState.DONE, 2)
    safe, late = PlannedBuild.objects.filter(plan=published()).order_by("build")
    assert safe.p50 <= safe.p80 <= safe.p95
    assert timezone.now() < late.p50 < late.p95
    assert (safe.kept_chance, late.kept_chance) == (1.0, 0.0)


def test_no_promise_has_no_chance(owner):
    build(owner, "C26-0001")
    run()
    run(FORECAST)
    only = PlannedBuild.objects.get(plan=published())
    assert only.kept_chance is None
    assert only.p80 is not None


def test_loads_are_hours_of_stations_by_week(forecasted):
    kept = latest_forecast().summary[KEPT]
    weeks = {one["station"]: one["weeks"] for one in kept["load"]}
    assert kept["replications"] == 200
    for monday, mean, high, places in (week for rows in weeks.values() for week in rows):
        assert timezone.datetime.fromisoformat(monday).weekday() == 0
        assert min(mean, high, places) >= 0
    assert sum(week[1] for rows in weeks.values() for week in rows) > 0


def test_margins_come_from_the_newest_forecast(owner):
    assert forecast_margins() is None
    build(owner, "C26-0001")
    run()
    run(FORECAST)
    table = forecast_margins()
    assert len(table.ahead) == len(table.days) == 1
    assert list(table.days[0]) == sorted(table.days[0])


def test_quotes_are_read_again_after_a_forecast(owner):
    build(owner, "C26-0001")
    run()
    before = pointer().version
    run(FORECAST)
    assert pointer().version == before + 1


def test_one_is_asked_for_at_a_time(owner):
    first = ask_forecast(owner)
    assert ask_forecast() == first
    Job.objects.filter(pk=first.pk).update(state=JobState.DONE)
    assert ask_forecast() != first


def test_without_a_plan_it_says_so(owner):
    job = run(FORECAST)
    assert job.state == JobState.FAILED
    assert "No plan is published yet" in job.message
