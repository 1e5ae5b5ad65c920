"""The order form: it answers while it is typed, and by its buttons where no script runs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.errors import WrongState
from shop.orders.checking import Checked
from shop.orders.entries import Document, document_of
from shop.orders.forms import AboutForm
from shop.orders.inputs import Asked, asked
from shop.orders.models import Order, OrderState
from shop.orders.pictures import drawing_of
from shop.orders.promising import promised
from shop.orders.queries import can_be_typed, check_order, order_or_404
from shop.orders.resizing import (
    with_another_pickup,
    with_another_row,
    with_equal_centres,
    with_strings,
    without_pickup,
    without_row,
)
from shop.orders.services import keep_draft, place_order
from shop.orders.views import page
from shop.people.presses import pressed
from specs.errors import Refused

CHANGES = {
    "add-pickup": with_another_pickup,
    "take-pickup": without_pickup,
    "add-row": with_another_row,
    "take-row": without_row,
    "equal-centres": with_equal_centres,
}
ANEW = ("strings.tuning", "strings.gauges", "strings.cores", "strings.unit_weights", "action.h_saddle", "pickups")
"""Fields that are sent as a whole when their number changes."""
OF_PICKUPS = tuple(verb for verb in CHANGES if verb.endswith(("-pickup", "-row")))
PLACES_WANTED = {"add-pickup": 0, "take-pickup": 1, "add-row": 1, "take-row": 2, "equal-centres": 0}


@dataclass(frozen=True)
class Typed:
    """A form as it was sent: the document and what it says beside it; ``version`` is the draft it was shown from."""

    document: Document
    about: AboutForm | None
    version: int
    do: str


def typed(request: HttpRequest, order: Order) -> Typed:
    """What was typed, with what its button changes."""
    fields = dict(request.POST.items())
    about = AboutForm(request.POST, instance=order) if "about" in fields else None
    do = fields.get("do", "check")
    document = _changed(document_of(fields, order.spec.entered), fields, do)
    return Typed(document, about, _whole(fields.get("over") or fields.get("version", "")), do)


def _changed(document: Document, fields: Mapping[str, str], do: str) -> Document:
    document = with_strings(document, _whole(fields.get("strings.count", "")))
    verb, *places = do.split(".")
    if verb in CHANGES and len(places) == PLACES_WANTED[verb]:
        return CHANGES[verb](document, *map(_whole, places))
    return document


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 9 else 0


def _fresh(request: HttpRequest, number: str, refusal: str) -> HttpResponse:
    """The form with what was typed over the draft as it is now; an order no longer open shows its page."""
    order = order_or_404(number)
    if not can_be_typed(order):
        return page(request, number, refusal=refusal)
    return _shown(request, order, typed(request, order), refusal)


@pressed(fresh=_fresh)
def form(request: HttpRequest, number: str) -> HttpResponse:
    """The form of an order's open revision; its buttons check, keep, change the pickups, or place the order."""
    order = order_or_404(number)
    if request.method == "POST":
        return _pressed(request, order, typed(request, order))
    if not can_be_typed(order):
        return redirect("orders:page", number)
    return _shown(request, order, Typed(order.spec.entered, None, order.spec.entered_version, ""))


def _pressed(request: HttpRequest, order: Order, sent: Typed) -> HttpResponse:
    if sent.do == "check" and order.state != OrderState.DRAFT:
        return _shown(request, order, sent)
    try:
        order = _kept(request, order, sent, say=sent.do == "keep")
    except Refused as refused:
        why = _("Not kept, because a placed order must stay buildable: {n} to put right.").format(
            n=len(refused.problems)
        )
        return _shown(request, order, sent, why, status=422)
    if sent.do == "place":
        return _placed(request, order)
    if sent.do == "keep" and order.state != OrderState.DRAFT:
        return redirect("orders:page", order.number)
    place = "#sound" if sent.do.split(".")[0] in OF_PICKUPS else ""
    return redirect(reverse("orders:form", args=[order.number]) + place)


def _kept(request: HttpRequest, order: Order, sent: Typed, *, say: bool = False) -> Order:
    about = sent.about.about() if sent.about else None
    given = {"entered": sent.document, "version": sent.version, "about": about, "say": say}
    return keep_draft(order=order, person=request.user, now=timezone.now(), **given)


def _placed(request: HttpRequest, order: Order) -> HttpResponse:
    try:
        place_order(order=order, person=request.user, now=timezone.now())
    except Refused as refused:
        said = " ".join(problem.message for problem in refused.problems if problem.field == "customer")
        why = _("Not placed; the draft is kept. {n} to put right.").format(n=len(refused.problems))
        messages.error(request, f"{why} {said}".strip(), extra_tags="stop")
        return redirect("orders:form", order.number)
    messages.success(request, _("{number} is placed. The deposit comes next.").format(number=order))
    return redirect("orders:page", order.number)


def check(request: HttpRequest, number: str) -> HttpResponse:
    """The answer to what is being typed: drawing, tension, work, findings; a draft is kept on the way."""
    order, refusal = order_or_404(number), ""
    if not can_be_typed(order):
        return render(request, "people/refused.html", {"why": _("This order can no longer be typed into.")}, status=409)
    sent = typed(request, order)
    if order.state == OrderState.DRAFT:
        try:
            order = _kept(request, order, sent)
        except WrongState as error:
            refusal = str(error)
            order = order_or_404(number)
    context = answered(order, sent, refusal)
    resized = request.POST.get("strings.count", "") != request.POST.get("strings.shown", "")
    spoken = request.POST.get("spoken", "").split() + list(context["asked"].said)
    sent_whole = ANEW if resized else ()
    slots = _slots(context["asked"], [path for path in spoken if not path.startswith(sent_whole)])
    context |= {"live": True, "resized": resized, "slots": slots}
    return render(request, "orders/_live.html", context)


def _slots(form_asked: Asked, spoken: list[str]) -> list[tuple[str, Any]]:
    """What to say at every field that had or has something said; each field once."""
    known = [path for path in dict.fromkeys(spoken) if path.replace(".", "").replace("_", "").isalnum()]
    return [(path.replace(".", "-"), form_asked.said.get(path, ())) for path in known]


def _shown(request: HttpRequest, order: Order, sent: Typed, refusal: str = "", status: int = 200) -> HttpResponse:
    context = answered(order, sent, refusal)
    chosen = {"customer": request.GET["customer"]} if "customer" in request.GET else {}
    about = sent.about or AboutForm(instance=order, initial=chosen)
    return render(request, "orders/form.html", context | {"about": about}, status=status)


def answered(order: Order, sent: Typed, refusal: str = "") -> dict[str, Any]:
    """What the form and its live answer show of an order as typed."""
    now = timezone.now()
    checked = check_order(order, now=now, entered=sent.document)
    beside = sent.about.problems() if sent.about else ()
    return {
        "order": order,
        "refusal": refusal,
        "checked": checked,
        "promised": promised(order, checked, now),
        "asked": asked(sent.document, checked, beside),
        "drawing": drawing_of(checked.derived),
        "version": sent.version if refusal else order.spec.entered_version,
        "is_draft": order.state == OrderState.DRAFT,
        "largest_n": largest_n(checked),
    }


def largest_n(checked: Checked) -> float:
    """The pull of the tightest string, for the length of the bars."""
    return max((string.tension_n for string in checked.derived.strings), default=0.0) if checked.derived else 0.0
