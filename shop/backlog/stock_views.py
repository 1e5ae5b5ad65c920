"""Parts made ahead: the page, beginning some, letting a build take one."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.errors import WrongState
from routing.head_starts import MOST_PIECES, make_head_starts, take_head_start
from routing.models import Build
from shop.backlog.stock import SERVICES, USUAL_SERVICE, Stock
from shop.people.presses import pressed
from specs.errors import Refused
from specs.models import Pattern


def page(request: HttpRequest, number: str = "", refusal: str = "") -> HttpResponse:
    """Blanks by length, when those that rest may be taken, how many to keep, who could take one."""
    asked = request.GET.get("service", "")
    service = int(asked) if asked in map(str, SERVICES) else USUAL_SERVICE
    context = {"stock": Stock(timezone.now(), service), "patterns": Pattern.objects.exclude(stage="resting")}
    context |= {"services": SERVICES, "most": MOST_PIECES, "refusal": refusal}
    return render(request, "backlog/head_starts.html", context)


@pressed(fresh=page)
def begin(request: HttpRequest) -> HttpResponse:
    """So many blanks of a pattern begun; their tasks stand in the queues from now on."""
    pattern, pieces = (request.POST.get(name, "") for name in ("pattern", "pieces"))
    found = get_object_or_404(Pattern, pk=pattern if pattern.isdecimal() else 0)
    count = int(pieces) if pieces.isdecimal() and len(pieces) < 4 else 0
    try:
        made = make_head_starts(pattern=found, pieces=count, person=request.user, now=timezone.now())
    except Refused as refused:
        raise WrongState(" ".join(problem.message for problem in refused.problems)) from refused
    messages.success(request, _("{serial} is begun; its milling stands in the queue.").format(serial=made))
    return redirect("backlog:head-starts")


@pressed(fresh=page)
def take(request: HttpRequest, number: str) -> HttpResponse:
    """A build begins with the part."""
    build = get_object_or_404(Build, serial=request.POST.get("build", ""))
    part = take_head_start(number=number, build=build, person=request.user, now=timezone.now())
    messages.success(request, _("{serial} begins with {number}.").format(serial=build, number=part))
    return redirect("backlog:head-starts")
