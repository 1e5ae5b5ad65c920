"""Capacity: the manager's page with its forms, one person's hours, and everybody's own."""

from __future__ import annotations

from datetime import date, timedelta

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.utils.translation import gettext as _

from routing.attending import hours_said, take_back
from routing.planning.jobs import replan_after
from routing.planning.rota import SHOP_WEEK
from shop.backlog.capacity import Week, ahead, hands, places
from shop.backlog.capacity_forms import FORMS, CapacityForm, HoursForm
from shop.people.models import Person
from shop.people.presses import pressed

FAR = timedelta(days=20 * 365)


def page(
    request: HttpRequest, kind: str = "", pk: int = 0, refusal: str = "", form: CapacityForm | None = None
) -> HttpResponse:
    """A week of everybody's hours, what is written down ahead, stations with their places and hands."""
    today, people = timezone.localdate(), hands()
    coming = ahead(today)
    forms = {known.replace("-", "_"): made() for known, made in FORMS.items()}
    if form is not None:
        forms[form.kind.replace("-", "_")] = form
    context = {
        "week": Week(_asked(request, today), today, people), "ahead": coming, "forms": forms, "refusal": refusal,
        "places_now": places(people, coming.places_out, today), "refused": form is not None,
    }  # fmt: skip
    return render(request, "backlog/capacity.html", context, status=422 if form is not None else 200)


@pressed(fresh=page)
def add(request: HttpRequest, kind: str) -> HttpResponse:
    """One more absence, overtime, day, closed day, or places of a station."""
    if kind not in FORMS:
        raise Http404(kind)
    form = FORMS[kind](request.POST)
    if not form.keep(timezone.localdate()):
        return page(request, form=form)
    replan_after()
    messages.success(request, _("Kept. The plan counts with it from its next run on."))
    return redirect("backlog:capacity")


@pressed(fresh=page)
def drop(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Take one of them out again."""
    kept = FORMS[kind].kept if kind in FORMS else None
    if kept is None:
        raise Http404(kind)
    take_back(kept=kept, pk=pk)
    replan_after()
    messages.success(request, _("Taken out."))
    return redirect("backlog:capacity")


@pressed()
def hours(request: HttpRequest, pk: int) -> HttpResponse:
    """One person's hours of every week."""
    person = get_object_or_404(Person, pk=pk)
    form = HoursForm(request.POST or None, person=person)
    if request.method == "POST" and form.keep():
        replan_after()
        messages.success(request, _("The hours of {person} are kept.").format(person=person))
        return redirect("backlog:capacity")
    context = {"form": form, "person": person, "shop_hours": hours_said(SHOP_WEEK[0])}
    return render(request, "backlog/hours.html", context, status=422 if form.errors else 200)


def mine(request: HttpRequest) -> HttpResponse:
    """The hours of whoever asks, and what is written down for them."""
    today = timezone.localdate()
    context = {"week": Week(_asked(request, today), today, [request.user]), "ahead": ahead(today, request.user)}
    return render(request, "backlog/my_hours.html", context)


def _asked(request: HttpRequest, today: date) -> date:
    """The day asked for; today where none is, or one the shop will not live to see."""
    try:
        day = parse_date(request.GET.get("week", "")) or today
    except ValueError:
        return today
    return day if abs(day - today) < FAR else today
