"""What is typed about strings: what a set is chosen for, the set a button sends, a string on the scales."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.orders.numbers import NumberList
from shop.orders.string_choice import targets, unit_weight_lb_in
from specs.derived import Derived
from specs.document import MOST_STRINGS
from specs.reading import PITCH
from specs.units import NotALength, length_mm
from specs.vocabulary import WINDINGS

WORDS = [(word, gettext_lazy(word)) for word in WINDINGS]
PULL_N = (MinValueValidator(1), MaxValueValidator(2000))
LEAST_GAUGE_MM, MOST_GAUGE_MM = 0.1, 6.0
LEAST_LB_IN, MOST_LB_IN = 1e-7, 0.1


class ChooserForm(forms.Form):
    """What the strings are chosen for."""

    winding = forms.ChoiceField(
        label=gettext_lazy("Winding"), choices=[(word, gettext_lazy(word)) for word in WINDINGS]
    )
    target = NumberList(
        label=gettext_lazy("Tension wanted, N"), most=MOST_STRINGS, each=PULL_N, required=False,
        help_text=gettext_lazy("one for all strings, or one a string, low to high; empty: as even as can be"),
    )  # fmt: skip
    tuning = forms.CharField(
        label=gettext_lazy("Another tuning"), max_length=100, required=False,
        help_text=gettext_lazy("low to high, such as D1 A1 D2 G2"),
    )  # fmt: skip

    def __init__(self, given: dict[str, str], derived: Derived) -> None:
        super().__init__({"winding": derived.spec.strings.winding} | given)
        self.strings = len(derived.strings)

    def clean_target(self) -> list[float] | None:
        """A target for every string, or none at all."""
        given_n = self.cleaned_data["target"]
        try:
            return targets(given_n, self.strings) if given_n else None
        except ValueError:
            raise forms.ValidationError(_("Give one tension, or one for each string.")) from None

    def clean_tuning(self) -> tuple[str, ...]:
        """The pitches, as many as there are strings."""
        pitches = tuple(self.cleaned_data["tuning"].replace(",", " ").split())
        if pitches and (len(pitches) != self.strings or not all(map(PITCH.fullmatch, pitches))):
            raise forms.ValidationError(_("Give a pitch such as B0, F#1 or Bb0 for each string."))
        return pitches


class UseForm(forms.Form):
    """The set a button sends."""

    winding = forms.ChoiceField(choices=WORDS)
    gauges = NumberList(most=MOST_STRINGS, each=(MinValueValidator(0.001), MaxValueValidator(1)))
    version = forms.IntegerField(min_value=0)


class WeighedForm(forms.Form):
    """A string on the scales: a piece of it, or its weight as published."""

    gauge = forms.CharField(label=gettext_lazy("Gauge, such as .100 in"), max_length=20)
    winding = forms.ChoiceField(
        label=gettext_lazy("Winding"), choices=[(word, gettext_lazy(word)) for word in WINDINGS]
    )
    weight_g = forms.FloatField(label=gettext_lazy("Weight of the piece, g"), min_value=0.001, max_value=1000)
    length = forms.CharField(
        label=gettext_lazy("Length of the piece, such as 500 mm"), max_length=20,
        help_text=gettext_lazy("without ball end and silk; at least 200 mm"),
    )  # fmt: skip

    def clean_gauge(self) -> float:
        """The gauge in mm."""
        return self._length_mm("gauge", LEAST_GAUGE_MM, MOST_GAUGE_MM)

    def clean_length(self) -> float:
        """The length in mm."""
        return self._length_mm("length", 200, 2000)

    def _length_mm(self, name: str, least: float, most: float) -> float:
        try:
            found = length_mm(self.cleaned_data[name].strip())
        except NotALength as wrong:
            raise forms.ValidationError(_(str(wrong))) from None
        if not least <= found <= most:
            said = _("Give a length from {least} to {most} mm.").format(least=f"{least:g}", most=f"{most:g}")
            raise forms.ValidationError(said)
        return found

    def clean(self) -> dict[str, Any]:
        """With the unit weight, which must be one a document may hold."""
        given = self.cleaned_data
        if "weight_g" in given and "length" in given:
            given["lb_in"] = unit_weight_lb_in(given["weight_g"], given["length"])
            if not LEAST_LB_IN <= given["lb_in"] <= MOST_LB_IN:
                self.add_error("weight_g", _("No string weighs that: look at the weight and the length again."))
        return given
