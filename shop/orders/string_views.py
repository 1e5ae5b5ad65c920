"""Pages of strings: the best set for an order and other tunings, and the strings the shop weighed itself."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.orders.models import Order
from shop.orders.queries import PAGE, can_be_typed, order_or_404
from shop.orders.string_choice import best_set, known_strings, other_tuning, present_set
from shop.orders.string_forms import ChooserForm, UseForm, WeighedForm
from shop.orders.string_services import gauge_text, use_set
from shop.people.access import may, role_of
from shop.people.presses import pressed
from specs.derived import Derived
from specs.errors import Problem, Refused
from specs.models import WeighedString
from specs.released import current
from specs.services import weigh_string
from specs.tunings import Tuning, usual_tunings


def _page(request: HttpRequest, number: str, refusal: str = "", problems: tuple[Problem, ...] = ()) -> HttpResponse:
    order = order_or_404(number)
    try:
        derived = current(order.spec)
    except Refused as refused:
        context = {"order": order, "problems": refused.problems}
        return render(request, "orders/not_an_instrument.html", context, status=409)
    form = ChooserForm(request.GET.dict(), derived)
    form.is_valid()
    context = _choice(order, derived, form) | {"refusal": refusal, "problems": problems}
    context["may_use"] = can_be_typed(order) and may("orders:strings", "POST", role_of(request))
    return render(request, "orders/strings.html", context, status=_status(form, problems))


def _status(form: ChooserForm, problems: tuple[Problem, ...]) -> int:
    return 422 if problems else 400 if form.errors else 200


def _choice(order: Order, derived: Derived, form: ChooserForm) -> dict[str, Any]:
    known = known_strings(form.cleaned_data.get("winding", derived.spec.strings.winding))
    target_n, own = form.cleaned_data.get("target"), form.cleaned_data.get("tuning")
    asked = (Tuning(_("as typed"), own, ""),) if own else ()
    usual = [one for one in usual_tunings(len(derived.strings)) if one.pitches != derived.spec.strings.tuning]
    sets = [(_("Evenest"), best_set(derived, known))]
    if target_n:
        sets.append((_("As wanted"), best_set(derived, known, target_n)))
    return {
        "order": order,
        "hand": derived.spec.hand,
        "form": form,
        "known": known,
        "present": present_set(derived),
        "sets": [(name, found, _sent(found)) for name, found in sets if found],
        "rows": _rows(derived, [found for _name, found in sets if found]),
        "others": [found for one in (*asked, *usual) if (found := other_tuning(derived, known, one))],
    }


def _sent(found: Any) -> str:
    """The set as its button sends it."""
    return " ".join(f"{line.gauge_in:.6f}" for line in found.lines)


def _rows(derived: Derived, sets: list[Any]) -> list[tuple[Any, ...]]:
    """For every string, highest first: the string, and its line of the present and of every chosen set."""
    columns = [present_set(derived).lines, *(found.lines for found in sets)]
    return list(zip(derived.strings, zip(*columns, strict=True), strict=True))[::-1]


@pressed(fresh=_page)
def strings(request: HttpRequest, number: str) -> HttpResponse:
    """The set an order has beside the best ones; its button writes one into the draft."""
    if request.method != "POST":
        return _page(request, number)
    form = UseForm(request.POST)
    if not form.is_valid():
        return _page(request, number, problems=(Problem("strings.gauges", "missing", _("Choose a set first.")),))
    given = form.cleaned_data
    try:
        use_set(
            order=order_or_404(number), known=known_strings(given["winding"]), gauges_in=given["gauges"],
            version=given["version"], person=request.user, now=timezone.now(),
        )  # fmt: skip
    except Refused as refused:
        return _page(request, number, problems=refused.problems)
    said = ", ".join(map(gauge_text, given["gauges"]))
    messages.success(request, _("The draft has the set {gauges}.").format(gauges=said))
    return redirect("orders:strings", number)


@pressed()
def weighed(request: HttpRequest) -> HttpResponse:
    """Every string the shop weighed, and the form of another."""
    form = WeighedForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        made = weigh_string(
            gauge_mm=given["gauge"], winding=given["winding"], unit_weight_lb_in=given["lb_in"],
            person=request.user, now=timezone.now(),
        )  # fmt: skip
        messages.success(request, _("Weighed: {gauge}.").format(gauge=gauge_text(made.gauge_mm / 25.4)))
        return redirect("orders:weighed")
    listed = Paginator(WeighedString.objects.select_related("weighed_by"), PAGE).get_page(request.GET.get("page"))
    context = {"form": form, "weighed": listed}
    return render(request, "orders/weighed.html", context, status=422 if form.errors else 200)
