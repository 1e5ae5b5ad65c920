"""Plans made in the background: a quick one after whatever happened, an improved one at night and on demand."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.errors import WrongState
from routing.jobs import Progress, ask, job
from routing.models import Job, JobState, PublishedPlan
from routing.plan.cost import cost_of
from routing.plan.improve import improve
from routing.plan.problem import PlanRefused
from routing.planning.forecasting import ask_forecast
from routing.planning.making import COST, Line, Made, by_rule, carried_on, chosen, read_line, settled, told, why_broken
from routing.planning.published import ONLY, lock_published, open_bookings, plan_settings, pointer, rows_of_plan
from routing.planning.publishing import decide, keep_plan
from routing.planning.stored import PlanRows
from routing.plans import PlanKind

REPLAN, IMPROVE = "plan again", "improve the plan"
UNDER_WAY = (JobState.QUEUED, JobState.RUNNING)


def ask_replan(person: Any = None) -> Job | None:
    """A quick plan, unless one waits already; called once what happened is committed."""
    with transaction.atomic():
        lock_published()
        if Job.objects.filter(kind=REPLAN, state=JobState.QUEUED).exists():
            return None
        return ask(REPLAN, person=person)


def replan_after() -> None:
    """Ask for a quick plan once the present transaction is committed."""
    transaction.on_commit(ask_replan, robust=True)


def ask_improve(person: Any = None) -> Job:
    """The improved plan; the one under way where there is one already."""
    with transaction.atomic():
        lock_published()
        known = Job.objects.filter(kind=IMPROVE, state__in=UNDER_WAY).first()
        return known or ask(IMPROVE, person=person)


def improve_at_night(now: datetime) -> Job | None:
    """The nightly search, once its time has come and it was not asked for since."""
    due = timezone.localtime(now).replace(hour=0, minute=0, second=0, microsecond=0)
    at = plan_settings().night_at
    due = due.replace(hour=at.hour, minute=at.minute)
    if now < due or Job.objects.filter(kind=IMPROVE, asked_at__gte=due).exists():
        return None
    return ask_improve()


def claim(job_id: int) -> bool:
    """Whether this job may make the plan now; where another one does, a quick plan comes after it.

    A claim whose job no longer runs, because its worker died, counts for nothing.
    """
    with transaction.atomic():
        row = lock_published()
        others = Job.objects.filter(pk=row.made_by_id, state=JobState.RUNNING).exclude(pk=job_id)
        is_free = not others.exists()
        changes = {"made_by": job_id} if is_free else {"again": True}
        PublishedPlan.objects.filter(pk=ONLY).update(**changes)
    return is_free


def release_claim(job_id: int) -> None:
    """The next may; what happened meanwhile is planned now."""
    with transaction.atomic():
        is_due = lock_published().again
        mine = PublishedPlan.objects.filter(pk=ONLY, made_by=job_id)
        if mine.update(made_by=None, again=False) and is_due:
            ask_replan()


def _alone(progress: Progress, make: Callable[[Progress], dict[str, Any]]) -> dict[str, Any]:
    if not claim(progress.job_id):
        return {"waits": _("Another plan is being made; a quick one is made after it.")}
    try:
        return make(progress)
    finally:
        release_claim(progress.job_id)


@job(REPLAN)
def replan(progress: Progress) -> dict[str, Any]:
    """The plan by the quickest way; run again, it comes to the same."""
    return _alone(progress, lambda each: _made(each, PlanKind.QUICK))


@job(IMPROVE)
def improve_plan(progress: Progress) -> dict[str, Any]:
    """The plan searched for as long as the settings say; run again, it searches again."""
    return _alone(progress, lambda each: _made(each, PlanKind.IMPROVED))


def _made(progress: Progress, kind: str) -> dict[str, Any]:
    now, settings = timezone.now(), plan_settings()
    based_on = pointer().plan_id
    published = rows_of_plan(based_on)
    progress.set(5, _("reading the backlog"))
    line = read_line(now, published, list(open_bookings().select_related("spec")))
    try:
        made, kept, broken = _candidates(line, published, now)
        if kind == PlanKind.IMPROVED:
            made = _searched(progress, line, made, settings.seconds)
    except PlanRefused as refused:
        raise WrongState(told(refused, line)) from refused
    progress.set(90, _("looking at it once more"))
    decision = decide(made.cost, None if based_on is None else kept, broken, settings.better_by)
    person = Job.objects.select_related("asked_by").get(pk=progress.job_id).asked_by
    plan = keep_plan(line=line, made=made, kind=kind, decision=decision, based_on=based_on, person=person, now=now)
    if decision.publish and (kind == PlanKind.IMPROVED or based_on is None):
        ask_forecast(person)
    return {"plan": plan.pk, "published": decision.publish, "reason": plan.reason, "cost": plan.cost}


def _candidates(line: Line, published: PlanRows, now: datetime) -> tuple[Made, float, str]:
    """The plan to go on with, the cost of carrying on as published, and why that is no longer what was published."""
    ruled, carried = by_rule(line), carried_on(line, published)
    if carried is None:
        return ruled, ruled.cost, _("nothing of it is left to do")
    broken = why_broken(line, published, carried.plan, now)
    return chosen(ruled, carried), carried.cost, broken


def _searched(progress: Progress, line: Line, made: Made, seconds: int) -> Made:
    def tell(share: float, cost: float) -> None:
        progress.set(10 + int(78 * share), _("searching, {cost} weighted days late so far").format(cost=round(cost)))

    plan = settled(line.problem, improve(line.problem, start=made.plan, seconds=seconds, cost=COST, progress=tell))
    return Made(plan, cost_of(line.problem, plan, COST), _("searched for {n} seconds").format(n=seconds))
