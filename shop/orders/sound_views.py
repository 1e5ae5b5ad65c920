"""The page of an order's sound: what is plucked, fretted and mixed is asked in its address, so it can be sent on."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.orders.numbers import NumberList
from shop.orders.queries import order_or_404
from shop.orders.sound import STRENGTH, Coil, curves, heard, resonance, spread_of, usual_coil
from specs.derived import Derived
from specs.drawings.curves import response_curves
from specs.errors import Refused
from specs.released import current

MOST_POTS = 6


class SoundForm(forms.Form):
    """Pluck, fret and the mix; one field a pickup is added for the instrument at hand."""

    pluck = forms.FloatField(
        label=gettext_lazy("Plucked at, share of the string from the bridge"), required=False,
        min_value=0.01, max_value=0.5, help_text=gettext_lazy("empty: every harmonic alike"),
    )  # fmt: skip
    fret = forms.IntegerField(label=gettext_lazy("Fretted at"), min_value=0, max_value=36)

    def __init__(self, given: dict[str, str], derived: Derived) -> None:
        names = [f"mix{place}" for place in range(len(derived.pickups))]
        super().__init__({"fret": "0"} | dict.fromkeys(names, "in phase") | given)
        self.fields["fret"].validators.append(MaxValueValidator(len(derived.frets) - 1))
        self.fields["fret"].widget.attrs["max"] = len(derived.frets) - 1
        choices = [(word, _(word)) for word in STRENGTH]
        for name, place in zip(names, derived.pickups, strict=True):
            self.fields[name] = forms.ChoiceField(label=_("Pickup: {name}").format(name=place.name), choices=choices)
        self.names = names

    def asked(self) -> dict[str, Any]:
        """What the curves are drawn for; a field with a problem counts as not asked."""
        given = self.cleaned_data
        mix = [given.get(name, "in phase") for name in self.names]
        return {"pluck": given.get("pluck"), "fret": given.get("fret") or 0, "mix": mix}


class CoilForm(forms.Form):
    """The electrical values of one pickup with what hangs on it."""

    inductance_h = forms.FloatField(label=gettext_lazy("Inductance, H"), min_value=0.01, max_value=100)
    winding_pf = forms.FloatField(label=gettext_lazy("Capacitance of the winding, pF"), min_value=1, max_value=10_000)
    cable_pf = forms.FloatField(label=gettext_lazy("Capacitance of the cable, pF"), min_value=0, max_value=100_000)
    winding_kohm = forms.FloatField(label=gettext_lazy("Resistance of the winding, kΩ"), min_value=0, max_value=1000)
    pots_kohm = NumberList(
        label=gettext_lazy("Pots, kΩ each"), most=MOST_POTS, required=False,
        each=(MinValueValidator(0.1), MaxValueValidator(100_000)),
    )  # fmt: skip
    input_kohm = forms.FloatField(label=gettext_lazy("Amplifier input, kΩ"), min_value=1, max_value=1_000_000)

    def coil(self, usual: Coil) -> Coil:
        """The coil as typed; a field with a problem has its usual value."""
        return replace(usual, **self.cleaned_data)


def coil_form(given: dict[str, str], usual: Coil) -> CoilForm:
    """The form over what was asked, usual values where nothing was."""
    shown = {name: f"{value:g}" for name, value in vars(usual).items() if name != "pots_kohm"}
    return CoilForm(shown | {"pots_kohm": ", ".join(f"{kohm:g}" for kohm in usual.pots_kohm)} | given)


def sound(request: HttpRequest, number: str) -> HttpResponse:
    """How loud each harmonic of each string is, and where the pickups resonate."""
    order, given = order_or_404(number), request.GET.dict()
    try:
        derived = current(order.spec)
    except Refused as refused:
        context = {"order": order, "problems": refused.problems}
        return render(request, "orders/not_an_instrument.html", context, status=409)
    asked, coil = SoundForm(given, derived), coil_form(given, usual := usual_coil(derived))
    sound_ok, coil_ok = asked.is_valid(), coil.is_valid()
    strings = heard(derived, **asked.asked())
    context = {
        "order": order,
        "hand": derived.spec.hand,
        "derived": derived,
        "form": asked,
        "coil_form": coil,
        "strings": strings[::-1],
        "rows": list(enumerate(zip(*(string.levels for string in strings[::-1]), strict=True), start=1)),
        "drawing": mark_safe(response_curves(curves(strings), say=_)),  # escaped where it is written
        "spread_pct": 100 * spread_of(strings),
        "resonance": resonance(coil.coil(usual)),
    }
    return render(request, "orders/sound.html", context, status=200 if sound_ok and coil_ok else 400)
