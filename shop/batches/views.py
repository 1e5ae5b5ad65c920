"""Pages of partner-built batches: the list, a new one, one batch with its count, its rest and its decision."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from routing.batches import acclimate_batch, instruments, move_arrival
from routing.models import Batch, Outcome
from shop.batches.forms import ArrivalForm, CountForm, DecisionForm, OrderForm
from shop.batches.queries import is_late, listed_batches, next_of, pieces, promisable, rows, steps
from shop.batches.services import count_batch, decide_batch, order_batch, work_of
from shop.orders.queries import PAGE
from shop.papers.queries import sheets_of
from shop.people.access import may, role_of
from shop.people.presses import pressed
from specs.errors import Refused


def list_page(request: HttpRequest) -> HttpResponse:
    """The batches, newest first, and what of the series may be promised."""
    batches = Paginator(listed_batches(), PAGE).get_page(request.GET.get("page"))
    context = {"batches": batches, "rows": rows(batches, timezone.localdate()), "promisable": promisable()}
    return render(request, "batches/list.html", context)


@pressed()
def new(request: HttpRequest) -> HttpResponse:
    """Order a batch of a partner; what keeps the pattern from being built is shown."""
    form, problems = OrderForm(request.POST or None, initial={"pattern": request.GET.get("pattern")}), ()
    if request.method == "POST" and form.is_valid():
        try:
            batch = order_batch(wanted=form.wanted(), person=request.user, now=timezone.now())
        except Refused as refused:
            problems = refused.problems
        else:
            said = _("{number} is ordered; its sheet for the partner is being drawn.").format(number=batch)
            return _to_page(request, batch, said)
    status = 422 if form.errors or problems else 200
    return render(request, "batches/new.html", {"form": form, "problems": problems}, status=status)


def page(request: HttpRequest, number: str, refusal: str = "") -> HttpResponse:
    """One batch: what was ordered, its own tasks, its instruments, its papers, its buttons."""
    batch = _known(number)
    work = work_of(batch)
    role = role_of(request)
    context = {
        "batch": batch,
        "refusal": refusal,
        "work": work,
        "is_late": is_late(batch, timezone.localdate()),
        "steps": steps(work, timezone.now()),
        "pieces": pieces(batch, timezone.now()),
        "next": next_of(batch, timezone.now()),
        "sheets": sheets_of(work),
        "outcomes": Outcome.choices,
        "may_write": may("batches:arrival", "POST", role),
        "may_decide": may("batches:decide", "POST", role),
    }
    return render(request, "batches/page.html", context)


def _known(number: str) -> Batch:
    return get_object_or_404(Batch.objects.select_related("pattern", "spec", "left_spec"), number=number)


def _to_page(request: HttpRequest, batch: Batch, said: str) -> HttpResponse:
    messages.success(request, said)
    return redirect("batches:page", batch.number)


def _not_done(request: HttpRequest, number: str, why: str) -> HttpResponse:
    response = page(request, number, refusal=why)
    response.status_code = 422
    return response


@pressed(fresh=page)
def arrival(request: HttpRequest, number: str) -> HttpResponse:
    """The partner names another day."""
    batch, form = _known(number), ArrivalForm(request.POST)
    if not form.is_valid():
        return _not_done(request, number, _("Write the expected day as 2026-04-14."))
    moved = move_arrival(batch=batch, expected_on=form.cleaned_data["expected_on"], now=timezone.now())
    return _to_page(request, moved, _("{number} is expected another day.").format(number=number))


@pressed(fresh=page)
def count(request: HttpRequest, number: str) -> HttpResponse:
    """The cartons are here: what came is counted in, its sample drawn, its travellers issued."""
    batch = _known(number)
    form = CountForm(request.POST, [build.serial for build in instruments(batch)])
    if not form.is_valid():
        return _not_done(request, number, _("Tick what arrived and say how many are drawn for the sample."))
    counted = count_batch(batch=batch, **form.cleaned_data, person=request.user, now=timezone.now())
    said = ngettext("{n} piece of {number} counted in.", "{n} pieces of {number} counted in.", counted.received)
    return _to_page(request, counted, said.format(n=counted.received, number=number))


@pressed(fresh=page)
def rest(request: HttpRequest, number: str) -> HttpResponse:
    """Everything counted in is put to rest in its cartons at once."""
    batch = _known(number)
    many = acclimate_batch(batch=batch, person=request.user, now=timezone.now())
    said = ngettext("{n} carton put to rest.", "{n} cartons put to rest.", many)
    return _to_page(request, batch, said.format(n=many))


@pressed(fresh=page)
def decide(request: HttpRequest, number: str) -> HttpResponse:
    """What becomes of the batch after its sample."""
    batch, form = _known(number), DecisionForm(request.POST)
    if not form.is_valid():
        return _not_done(request, number, _("Choose what becomes of the batch."))
    given = form.cleaned_data
    decided = decide_batch(
        batch=batch, outcome=Outcome(given["outcome"]), note=given["note"], person=request.user, now=timezone.now()
    )
    return _to_page(request, decided, _("Decided: {outcome}.").format(outcome=decided.get_outcome_display()))
