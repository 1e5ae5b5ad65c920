"""Trial plans: ask for one, look at what came of it, keep or drop it; the rush tag put and lifted."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.changes import BY_SLUG
from routing.models import RushTag, Trial
from routing.planning.deciding import ask_trial, drop_trial, keep_trial
from shop.backlog.services import lift_rush, put_rush
from shop.backlog.trials import TrialForm, every_form, fullest, is_rush, listed_trials, moved, rush_tag, tried_said
from shop.people.presses import pressed
from specs.errors import Refused


def page(
    request: HttpRequest, kind: str = "", pk: int = 0, refusal: str = "", form: TrialForm | None = None
) -> HttpResponse:
    """What may be tried, the trials so far, and who has the rush tag."""
    context = {"forms": every_form(form), "trials": listed_trials(), "tag": rush_tag(), "refusal": refusal}
    return render(request, "backlog/trials.html", context, status=422 if form is not None or refusal else 200)


def trial(request: HttpRequest, pk: int, refusal: str = "") -> HttpResponse:
    """One trial: who moves by how much; being worked out, how far it is."""
    found = get_object_or_404(Trial.objects.select_related("asked_by", "job", "decided_by"), pk=pk)
    moves = moved(found)
    context = {
        "trial": found, "tried": tried_said(found), "moves": moves, "station": fullest(found), "refusal": refusal,
        "largest": max((abs(one.days) for one in moves), default=0), "is_rush": is_rush(found),
    }  # fmt: skip
    return render(request, "backlog/trial.html", context, status=422 if refusal else 200)


@pressed(fresh=page)
def ask(request: HttpRequest, kind: str) -> HttpResponse:
    """Work one change out in the background."""
    if kind not in BY_SLUG:
        raise Http404(kind)
    form = TrialForm(BY_SLUG[kind], request.POST)
    if not form.is_valid():
        return page(request, form=form)
    try:
        asked = ask_trial(changes=[form.change()], person=request.user, now=timezone.now())
    except Refused as refused:
        form.add_error(None, [problem.message for problem in refused.problems])
        return page(request, form=form)
    return redirect("backlog:trial", asked.pk)


@pressed(fresh=trial)
def keep(request: HttpRequest, pk: int) -> HttpResponse:
    """What was tried is done."""
    found = get_object_or_404(Trial, pk=pk)
    try:
        keep_trial(trial=found, person=request.user, now=timezone.now())
    except Refused as refused:
        return trial(request, pk, refusal=_said(refused))
    messages.success(request, _("Kept. A new plan is being made."))
    return redirect("backlog:trial", pk)


@pressed(fresh=trial)
def drop(request: HttpRequest, pk: int) -> HttpResponse:
    """It is not done."""
    drop_trial(trial=get_object_or_404(Trial, pk=pk), person=request.user, now=timezone.now())
    return redirect("backlog:trials")


@pressed(fresh=trial)
def rush(request: HttpRequest, pk: int) -> HttpResponse:
    """The instrument of an expedite trial gets the rush tag."""
    given = {name: request.POST.get(name, "") for name in ("reason", "fee", "initials")}
    found = get_object_or_404(Trial, pk=pk)
    try:
        put_rush(trial=found, **given, person=request.user, now=timezone.now())
    except Refused as refused:
        return trial(request, pk, refusal=_said(refused))
    messages.success(request, _("The rush tag is put. A new plan is being made."))
    return redirect("backlog:trials")


@pressed(fresh=page)
def lift(request: HttpRequest, pk: int) -> HttpResponse:
    """The instrument with the rush tag takes its place in line again."""
    tag = get_object_or_404(RushTag, pk=pk)
    lift_rush(tag=tag, reason=request.POST.get("reason", ""), person=request.user, now=timezone.now())
    messages.success(request, _("The rush tag is lifted."))
    return redirect("backlog:trials")


def _said(refused: Refused) -> str:
    return " ".join(problem.message for problem in refused.problems)
