"""Designs: the page of every idea by stage, a new one, a move with its reason, a prototype begun or stopped."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.errors import WrongState
from routing.models import Build, Kind
from routing.prototypes import make_prototype, stop_prototype
from shop.backlog.designs import Designs
from shop.orders.models import Order
from shop.people.presses import pressed
from specs.designs import add_idea, move_pattern
from specs.errors import Refused
from specs.models import Pattern


def page(request: HttpRequest, pk: int = 0, serial: str = "", refusal: str = "") -> HttpResponse:
    """Every design by stage, and what the benches have to spare for those in hand."""
    designs = Designs(timezone.now(), timezone.localdate())
    return render(request, "backlog/designs.html", {"designs": designs, "refusal": refusal})


@pressed(fresh=page)
def add(request: HttpRequest) -> HttpResponse:
    """A new idea that begins with the choices of a pattern or an order."""
    document, line = _beginning(request.POST)
    given = {name: request.POST.get(name, "")[:longest] for name, longest in (("name", 80), ("about", 200))}
    try:
        made = add_idea(**given, document=document, line=line, person=request.user, now=timezone.now())
    except Refused as refused:
        raise WrongState(_told(refused)) from refused
    messages.success(request, _("{name} is among the ideas.").format(name=made))
    return redirect("backlog:designs")


def _beginning(sent: Mapping[str, str]) -> tuple[dict[str, Any], str]:
    """The document an idea begins with. Raises ``WrongState`` where there is neither."""
    if number := sent.get("order", "").strip():
        order = Order.objects.select_related("spec").filter(number__iexact=number).first()
        if order is None:
            raise WrongState(_("There is no order {number}; nothing was added.").format(number=number))
        return order.spec.document or order.spec.entered, order.line
    pattern = sent.get("like", "")
    found = Pattern.objects.filter(pk=pattern).first() if pattern.isdecimal() else None
    if found is None:
        raise WrongState(_("Choose the design the idea begins with, or name an order; nothing was added."))
    return found.document, found.line


@pressed(fresh=page)
def move(request: HttpRequest, pk: int) -> HttpResponse:
    """A design on another stage, with the reason."""
    sent = {name: request.POST.get(name, "") for name in ("was", "stage", "reason")}
    pattern = get_object_or_404(Pattern, pk=pk)
    try:
        moved = move_pattern(pattern=pattern, **sent, person=request.user, now=timezone.now())
    except Refused as refused:
        raise WrongState(_told(refused)) from refused
    messages.success(request, _("{name}: {stage}.").format(name=moved, stage=moved.get_stage_display()))
    return redirect("backlog:designs")


@pressed(fresh=page)
def prototype(request: HttpRequest, pk: int) -> HttpResponse:
    """A prototype begun: its tasks stand in the queues from now on."""
    pattern = get_object_or_404(Pattern, pk=pk)
    try:
        made = make_prototype(pattern=pattern, person=request.user, now=timezone.now())
    except Refused as refused:
        raise WrongState(_told(refused)) from refused
    messages.success(request, _("{serial} is begun; its drawing stands in the queue.").format(serial=made))
    return redirect("backlog:designs")


@pressed(fresh=page)
def stop(request: HttpRequest, serial: str) -> HttpResponse:
    """A prototype built no further."""
    stopped = stop_prototype(build=get_object_or_404(Build, serial=serial, kind=Kind.PROTOTYPE), now=timezone.now())
    messages.success(request, _("{serial} is built no further.").format(serial=stopped))
    return redirect("backlog:designs")


def _told(refused: Refused) -> str:
    return " ".join(f"{problem.message}" for problem in refused.problems)
