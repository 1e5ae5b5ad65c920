"""Trial plans asked for, worked out in the background, kept or dropped; the published plan is never touched."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Any

from django.contrib.auth import get_user_model
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from routing import jobs
from routing.attending import add_overtime, close_day
from routing.changes import Change, day_of, require_changes
from routing.errors import WrongState
from routing.jobs import Progress, ask, job
from routing.models import Holiday, Plan, PublishedPlan, RushTag, Station, Trial
from routing.plan.problem import PlanRefused
from routing.planning.jobs import replan_after
from routing.planning.making import Line, read_line, told
from routing.planning.moves import compared
from routing.planning.overtime import clock, stretches
from routing.planning.published import ONLY, open_bookings, rows_of_plan
from routing.planning.publishing import Decision, keep_plan
from routing.planning.rota import read_rota
from routing.planning.stored import PlanRows
from routing.planning.trying import as_planned, changed, who_works_over
from routing.plans import PlanKind
from routing.said import day_said
from routing.trials import TrialState
from specs.models import Pattern

TRY = "trial plan"
OPEN = (TrialState.RUNNING, TrialState.READY)


@transaction.atomic
def ask_trial(*, changes: Sequence[Change], person: Any, now: datetime) -> Trial:
    """A trial to be worked out in the background. Raises ``Refused`` for changes that are none, ``WrongState`` for a
    second rush tag."""
    require_changes(changes, timezone.localdate(now))
    tag = RushTag.objects.filter(stands=True, build__finished_at=None, build__cancelled_at=None)
    standing = tag.select_related("build").first()
    if standing and any(change["kind"] == "rush" for change in changes):
        raise WrongState(_("{serial} has the rush tag; only one instrument has it. Lift it first.").format(
            serial=standing.build))  # fmt: skip
    trial = Trial.objects.create(changes=list(changes), asked_by=person, asked_at=now)
    trial.job = ask(TRY, person=person, trial_id=trial.pk)
    trial.save(update_fields=["job"])
    return trial


@job(TRY)
def try_changes(progress: Progress, *, trial_id: int) -> dict[str, Any]:
    """A trial worked out; run again, it comes to the same, and one dropped meanwhile stays dropped."""
    trial = Trial.objects.select_related("asked_by").get(pk=trial_id)
    if trial.state != TrialState.RUNNING:
        return {"trial": trial.pk}
    now = timezone.now()
    based_on = PublishedPlan.objects.filter(pk=ONLY).values_list("plan", flat=True).first()
    published = rows_of_plan(based_on)
    progress.set(5, _("reading the backlog"))
    line = read_line(now, published, list(open_bookings().select_related("spec")))
    if not len(line.problem.work):
        raise WrongState(_("There is no open work to plan."))
    other = changed(line, trial.changes, now)
    before, after = _both(progress, line, other, published)
    progress.set(85, _("looking at it once more"))
    with transaction.atomic():
        plan = keep_plan(line=other, made=after, kind=PlanKind.TRIAL, decision=Decision(False, _("a trial")),
                         based_on=based_on, person=trial.asked_by, now=now)  # fmt: skip
        _settle(trial, plan, compared((line, before), (other, after)))
    return {"trial": trial.pk, "plan": plan.pk}


def _both(progress: Progress, line: Line, other: Line, published: PlanRows) -> tuple[Any, Any]:
    """The plan as it is and as it would be. Raises ``WrongState`` with what cannot be placed and why."""
    at = line
    try:
        progress.set(15, _("planning it as it is"))
        before = as_planned(line, published)
        progress.set(50, _("planning it with the change"))
        at = other
        return before, as_planned(other, published)
    except PlanRefused as refused:
        raise WrongState(told(refused, at)) from refused


def _settle(trial: Trial, plan: Plan, result: dict[str, Any]) -> None:
    mine = Trial.objects.filter(pk=trial.pk, state=TrialState.RUNNING)
    if not mine.update(state=TrialState.READY, plan=plan, result=result):
        plan.delete()


@transaction.atomic
def drop_trial(*, trial: Trial, person: Any, now: datetime) -> Trial:
    """It is not done: its plan goes, its figures stay to be read. Raises ``WrongState`` once it is decided."""
    fresh = _decide(trial, TrialState.DROPPED, OPEN, person, now)
    if fresh.job_id:
        jobs.cancel(fresh.job_id)
    Plan.objects.filter(trials=fresh, kind=PlanKind.TRIAL).delete()
    fresh.refresh_from_db()
    return fresh


@transaction.atomic
def keep_trial(*, trial: Trial, person: Any, now: datetime) -> Trial:
    """What it tried is done: written down where the program knows it, else said as work for hands; then a new plan.

    Raises ``WrongState`` where it is not worked out or decided already, ``Refused`` where capacity has changed since.
    A rush tag is put by ``put_rush``, which asks for more.
    """
    if any(change["kind"] == "rush" for change in trial.changes):
        raise WrongState(_("The rush tag is put with its reason, fee and initials."))
    fresh = _decide(trial, TrialState.KEPT, (TrialState.READY,), person, now)
    order = sorted(fresh.changes, key=lambda change: change["kind"] != "closed")
    fresh.by_hand = [said for change in order for said in _KEEP[change["kind"]](change, timezone.localdate(now))]
    fresh.save(update_fields=["by_hand"])
    replan_after()
    return fresh


def _decide(trial: Trial, state: str, from_states: Sequence[str], person: Any, now: datetime) -> Trial:
    mine = Trial.objects.filter(pk=trial.pk, state__in=from_states)
    if not mine.update(state=state, decided_by=person, decided_at=now):
        fresh = Trial.objects.get(pk=trial.pk)
        raise WrongState(_("That trial is {state}.").format(state=fresh.get_state_display()))
    return Trial.objects.select_related("plan", "job").get(pk=trial.pk)


def _keep_overtime(change: Change, today: date) -> list[str]:
    for who in get_user_model().objects.filter(pk__in=who_works_over(change)).order_by("pk"):
        for one in stretches(who.pk, change):
            add_overtime(person=who, date=one.day, begins=clock(one.begins), ends=clock(one.ends), today=today)
    return []


def _keep_closed(change: Change, today: date) -> list[str]:
    first, last = day_of(change["first"]), day_of(change["last"])
    if first is None or last is None:
        return []
    rota, closed = read_rota(first, last), set(Holiday.objects.values_list("date", flat=True))
    days = [first + timedelta(days=ahead) for ahead in range((last - first).days + 1)]
    for day in days:
        if rota.shop(day) and day not in closed:
            close_day(date=day, name=_("Shop closed"), today=today)
    return []


def _hand_person(change: Change, today: date) -> list[str]:
    like = get_user_model().objects.filter(pk=change["like"]).first()
    return [_("Find somebody who can do what {person} does, from {day} on; then add them under People, with the "
              "stations they may work at.").format(person=like, day=_day(change))]  # fmt: skip


def _hand_place(change: Change, today: date) -> list[str]:
    station = Station.objects.filter(pk=change["station"]).first()
    message = _("Set up one more place at {station} by {day}; then raise the number of its places under Capacity.")
    return [message.format(station=_(station.name) if station else "–", day=_day(change))]


def _hand_orders(change: Change, today: date) -> list[str]:
    pattern = Pattern.objects.filter(pk=change["pattern"]).first()
    return [_("Take the {n} orders of {pattern} as they come; each gets its own promise.").format(
        n=change["count"], pattern=pattern)]  # fmt: skip


def _day(change: Change) -> str:
    day = day_of(change["first"])
    return day_said(day) if day else "–"


_KEEP = {
    "overtime": _keep_overtime,
    "closed": _keep_closed,
    "person": _hand_person,
    "place": _hand_place,
    "orders": _hand_orders,
}

__all__ = ["TRY", "ask_trial", "drop_trial", "keep_trial", "try_changes"]
