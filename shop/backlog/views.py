"""The manager's pages of the morning, of the floor, and of lead times."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.catalogue import OPERATIONS
from routing.planning.timetable import published_timetable
from routing.standing import set_limit
from shop.backlog.floor import Floor
from shop.backlog.flow import Flow
from shop.backlog.morning import Morning
from shop.people.presses import pressed
from specs.errors import Refused

FINISHING = frozenset(row.name for row in OPERATIONS if row.stage.startswith("F."))
"""Operations of the finish; the first of them is when an instrument needs its place there."""


def page(request: HttpRequest) -> HttpResponse:
    """What is late or will be, which station holds everything up, what to do this morning."""
    return render(request, "backlog/page.html", {"morning": Morning(timezone.now())})


def floor(request: HttpRequest, refusal: str = "") -> HttpResponse:
    """What stands at each place against its limit, and what may be released next."""
    plan = published_timetable()
    finish_from = plan.first_days(FINISHING) if plan else {}
    context = {"floor": Floor(timezone.now(), finish_from), "refusal": refusal}
    return render(request, "backlog/floor.html", context, status=422 if refusal else 200)


@pressed(fresh=floor)
def limit(request: HttpRequest) -> HttpResponse:
    """The limit of one place."""
    most = request.POST.get("most", "")
    try:
        set_limit(place=request.POST.get("place", ""), most=int(most) if most.isdecimal() else 0)
    except Refused as refused:
        return floor(request, refusal=" ".join(problem.message for problem in refused.problems))
    messages.success(request, _("The limit is kept."))
    return redirect("backlog:floor")


def lead_times(request: HttpRequest) -> HttpResponse:
    """How long instruments took, and whether floor, throughput and flow time agree."""
    return render(request, "backlog/flow.html", {"flow": Flow(timezone.now(), request.GET.get("line", "custom"))})
