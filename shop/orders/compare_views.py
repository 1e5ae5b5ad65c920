"""The page of two instruments side by side: two orders, or one order and the same on another scale pair."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.orders.compare import Side, compared, differing, documents
from shop.orders.models import Order
from shop.orders.queries import check_order, one_order
from specs.drawings.overlay import overlaid_drawing
from specs.released import instrument

PAIR = ("bass", "treble", "fret")


class CompareForm(forms.Form):
    """Which order, and what it is held against: another order, or another scale pair."""

    a = forms.CharField(label=gettext_lazy("Order"), max_length=20)
    b = forms.CharField(label=gettext_lazy("Against the order"), max_length=20, required=False)
    bass = forms.CharField(label=gettext_lazy("or against its own on bass scale"), max_length=20, required=False)
    treble = forms.CharField(label=gettext_lazy("Treble scale"), max_length=20, required=False)
    fret = forms.FloatField(label=gettext_lazy("Perpendicular fret"), min_value=0, max_value=36, required=False)

    def sides(self) -> tuple[Side, Side] | None:
        """Both sides; None where something stands in the way, told at its field."""
        if not self.is_valid():
            return None
        given = self.cleaned_data
        order = self._order("a")
        if not given["b"] and not any(given[name] not in ("", None) for name in PAIR):
            self.add_error("b", _("Give another order, or another scale pair."))
        if self.errors:
            return None
        first = self._side("a", order, order.number)
        second = self._other() if given["b"] else self._on_pair(order)
        return (first, second) if first and second else None

    def _other(self) -> Side | None:
        order = self._order("b")
        return self._side("b", order, order.number) if order else None

    def _order(self, field: str) -> Order | None:
        try:
            return one_order(self.cleaned_data[field].strip())
        except Order.DoesNotExist:
            self.add_error(field, _("There is no order of that number."))
            return None

    def _on_pair(self, order: Order) -> Side | None:
        """The order's own document on the scale pair asked; what is left out stays as ordered."""
        asked = {name: self.cleaned_data[name] for name in PAIR if self.cleaned_data[name] not in ("", None)}
        document = dict(order.spec.document or order.spec.entered)
        keys = {"bass": "bass", "treble": "treble", "fret": "perpendicular_fret"}
        document["scale"] = dict(document["scale"]) | {keys[name]: value for name, value in asked.items()}
        checked = check_order(order, now=timezone.now(), entered=document)
        for problem in checked.problems:
            self.add_error(_field(problem.field), problem.message)
        if checked.derived is None:
            return None
        scale = checked.derived.spec.scale
        name = _("{number} on {bass}–{treble} mm, square at fret {fret}").format(
            number=order.number, bass=f"{scale.bass_mm:g}", treble=f"{scale.treble_mm:g}",
            fret=f"{scale.perpendicular_fret:g}",
        )  # fmt: skip
        return Side(name, document, checked, checked.derived)

    def _side(self, field: str, order: Order, name: str) -> Side | None:
        spec = order.spec
        checked = check_order(order, now=timezone.now(), entered=spec.document)
        if checked.derived is None:
            self.add_error(field, _("{number} is not an instrument yet: its form says why.").format(number=order))
            return None
        derived = instrument(spec) if spec.is_released else checked.derived
        return Side(name, spec.document or spec.entered, replace(checked, derived=derived), derived)


def _field(path: str) -> str | None:
    """The field of the form that a problem of the document belongs to."""
    return {"scale.bass": "bass", "scale.treble": "treble", "scale.perpendicular_fret": "fret"}.get(path)


def compare(request: HttpRequest) -> HttpResponse:
    """Both drawings over one another, the numbers and what differs in the documents; empty until something is asked."""
    asked = request.GET.dict()
    against = set(asked) - {"a"}
    form = CompareForm(asked if against else None, initial=asked)
    sides = form.sides() if against else None
    context = {"form": form, "sides": sides} | (_told(*sides) if sides else {})
    return render(request, "orders/compare.html", context, status=400 if form.errors else 200)


def _told(first: Side, second: Side) -> dict[str, Any]:
    groups = compared(first, second)
    return {
        "groups": groups,
        "differing": differing(groups),
        "differences": documents(first, second),
        "drawing": _drawn(first, second),
    }


def _drawn(first: Side, second: Side) -> str:
    names = first.name, second.name
    return mark_safe(overlaid_drawing(first.derived, second.derived, names=names, say=_))  # escaped where written
