"""Estimates from finished work: the page, accepting, declining, and working them out now."""

from __future__ import annotations

from datetime import datetime

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _

from routing.errors import WrongState
from routing.estimating import accept_proposal, decline_proposal
from routing.jobs import ask
from shop.backlog.estimates import ahead, decided, largest, proposals
from shop.backlog.jobs import LEARN
from shop.people.presses import pressed


def page(request: HttpRequest, pk: int = 0, refusal: str = "") -> HttpResponse:
    """What finished work asks for, with the evidence, and what was decided before."""
    asked = proposals()
    stations = ahead(asked)
    context = {"asked": asked, "ahead": stations, "largest": largest(stations), "decided": decided()}
    return render(request, "backlog/estimates.html", context | {"refusal": refusal})


@pressed(fresh=page)
def accept(request: HttpRequest, pk: int) -> HttpResponse:
    """New builds get the hours; work not yet started too, where that is ticked."""
    made = accept_proposal(
        proposal_id=pk, computed_at=_shown(request), open_too="open_too" in request.POST,
        person=request.user, now=timezone.now(),
    )  # fmt: skip
    messages.success(request, _("{operation}: accepted.").format(operation=_(made.operation)))
    return redirect("backlog:estimates")


@pressed(fresh=page)
def decline(request: HttpRequest, pk: int) -> HttpResponse:
    """The hours stay as they are."""
    declined = decline_proposal(
        proposal_id=pk, computed_at=_shown(request), reason=request.POST.get("reason", ""),
        person=request.user, now=timezone.now(),
    )  # fmt: skip
    messages.success(request, _("{operation}: left as it is.").format(operation=_(declined.operation)))
    return redirect("backlog:estimates")


@pressed()
def work_out(request: HttpRequest) -> HttpResponse:
    """Work the proposals out now, in the background."""
    return redirect("papers:job", ask(LEARN, person=request.user).pk)


def _shown(request: HttpRequest) -> datetime:
    """Which figures the person looked at when pressing. Raises ``WrongState`` where the form does not say."""
    try:
        moment = parse_datetime(request.POST.get("computed", ""))
    except ValueError:
        moment = None
    if moment is None or moment.tzinfo is None:
        raise WrongState(_("The form did not say which figures were shown; look at them again."))
    return moment
