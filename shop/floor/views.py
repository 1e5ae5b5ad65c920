"""The bench: stations, the queue of one, the card of one task, and what its buttons do."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from routing.errors import WrongState
from routing.models import Qualification, Station, Task
from routing.planning.jobs import replan_after
from routing.queries import Queue, queue, stations_now
from routing.said import waits_said
from routing.services import hold_task, lift_hold, pause_task, reopen_task, start_task, undo_last
from shop.floor import services
from shop.floor.cards import card, done_form, fresh_events, last_press
from shop.floor.forms import ReasonForm
from shop.people.presses import pressed
from specs.errors import Refused

NEXT = 2

KEPT_OF_A_RELEASE = ("build__spec__document", "build__spec__answer", "build__spec__table_versions")
"""What a card reads through ``specs.released``, once."""


def stations(request: HttpRequest) -> HttpResponse:
    """Every station with what stands there; one's own first."""
    mine = set(Qualification.objects.filter(person=request.user).values_list("station_id", flat=True))
    rows = stations_now(timezone.now())
    own = [row for row in rows if row.station.pk in mine]
    return render(request, "floor/stations.html", {"own": own, "others": [row for row in rows if row not in own]})


def station(request: HttpRequest, slug: str) -> HttpResponse:
    """One station: the next task large, what follows, what waits, what is held."""
    return render(request, "floor/station.html", _station(request, get_object_or_404(Station, slug=slug)))


def task(request: HttpRequest, pk: int, refusal: str = "") -> HttpResponse:
    """One task's card, where a sheet's code lands; refused presses show it as it is now."""
    found = _known(pk)
    if request.htmx:
        return render(request, "floor/_bench.html", _after(request, found, refusal))
    return render(request, "floor/task.html", _one(request, found, refusal=refusal))


@pressed(fresh=task)
def start(request: HttpRequest, pk: int) -> HttpResponse:
    """Take the task on the bench."""
    return _acted(request, pk, start_task)


@pressed(fresh=task)
def pause(request: HttpRequest, pk: int) -> HttpResponse:
    """Put it back."""
    return _acted(request, pk, pause_task)


@pressed(fresh=task)
def done(request: HttpRequest, pk: int) -> HttpResponse:
    """Done, with readings and a remark."""
    form = done_form(request.POST, _known(pk))
    if not form.is_valid():
        return _problem(request, pk, form=form)
    try:
        return _acted(request, pk, services.done, readings=form.readings(), note=form.cleaned_data["note"])
    except Refused as refused:
        raise WrongState(" ".join(problem.message for problem in refused.problems)) from refused


@pressed(fresh=task)
def hold(request: HttpRequest, pk: int) -> HttpResponse:
    """A problem: the task is held until somebody lifts it."""
    return _with_reason(request, pk, hold_task)


@pressed(fresh=task)
def lift(request: HttpRequest, pk: int) -> HttpResponse:
    """The problem is out of the way."""
    return _acted(request, pk, lift_hold)


@pressed(fresh=task)
def reopen(request: HttpRequest, pk: int) -> HttpResponse:
    """Done was wrong; nothing after it has started."""
    return _with_reason(request, pk, reopen_task)


@pressed(fresh=task)
def undo(request: HttpRequest, pk: int) -> HttpResponse:
    """Take the last press back while its minute runs."""
    return _acted(request, pk, undo_last)


def _known(pk: int) -> Task:
    tasks = Task.objects.select_related("station", "person", "build__spec", "build__batch").defer(*KEPT_OF_A_RELEASE)
    return get_object_or_404(tasks, pk=pk)


def _acted(request: HttpRequest, pk: int, act: Callable[..., Task], **more: Any) -> HttpResponse:
    _known(pk)
    acted = act(task_id=pk, person=request.user, now=timezone.now(), **more)
    replan_after()
    if not request.htmx:
        return redirect("floor:station", slug=acted.station.slug)
    return render(request, "floor/_bench.html", _after(request, _known(pk)))


def _with_reason(request: HttpRequest, pk: int, act: Callable[..., Task]) -> HttpResponse:
    form = ReasonForm(request.POST)
    if not form.is_valid():
        return _problem(request, pk, problems=[str(problem) for problem in form.non_field_errors()])
    return _acted(request, pk, act, reason=form.cleaned_data["whole"])


def _problem(request: HttpRequest, pk: int, **shown: Any) -> HttpResponse:
    found = _known(pk)
    template = "floor/_bench.html" if request.htmx else "floor/task.html"
    return render(request, template, _one(request, found, **shown), status=400)


def _after(request: HttpRequest, found: Task, refusal: str = "") -> dict[str, Any]:
    """What is shown after a press: the station goes on to its next task, a task's own page and a refusal stay."""
    if refusal or request.POST.get("page") != "station":
        return _one(request, found, refusal=refusal)
    return _station(request, found.station)


def _one(request: HttpRequest, found: Task, **shown: Any) -> dict[str, Any]:
    revision = request.GET.get("rev", "").upper()[:3]
    made = card(found, request.user, timezone.now(), revision=revision, **shown)
    return {"card": made, "station": found.station, "page": "task"}


def _station(request: HttpRequest, found: Station) -> dict[str, Any]:
    now = timezone.now()
    line = queue(found, now)
    first = _first(line, request.user)
    events = fresh_events(first, request.user, now)
    return {
        "station": found,
        "queue": line,
        "card": card(_known(first.pk), request.user, now, events=events) if first else None,
        "next": [one for one in line.ready if one != first][:NEXT],
        "more": max(0, line.ready_count - (first in line.ready) - NEXT),
        "waiting": [(one, waits_said(one)) for one in line.waiting],
        "others": [one for one in line.on_bench if one != first],
        "pressed": last_press(events, found, request.user),
        "page": "station",
    }


def _first(line: Queue, person: Any) -> Task | None:
    """What one's hands are on here, else the first that is ready."""
    mine = [one for one in line.on_bench if one.person_id == person.pk]
    return next(iter([*mine, *line.ready]), None)
