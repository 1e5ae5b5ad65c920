"""What a bench types: readings by the number keys, a remark, the reason of a problem."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from routing.catalogue import Operation
from shop.floor.measures import Measure

MOST_READINGS = 4
REASONS = (
    _("parts or wood missing"),
    _("fault found in earlier work"),
    _("drawing or sheet unclear"),
    _("machine or jig out of order"),
)


class Reading(forms.FloatField):
    """A number with a point or a comma."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})

    def to_python(self, value: Any) -> float | None:
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


def readings_asked(row: Operation | None) -> list[str]:
    """The checks of an operation that name a number, as labels of readings."""
    checks = row.checks.split(";") if row else []
    return [check.strip()[:120] for check in checks if re.search(r"\d", check)][:MOST_READINGS]


class DoneForm(forms.Form):
    """Readings the checks ask for and a remark, all of them may stay empty."""

    note = forms.CharField(label=_("Remark"), max_length=200, required=False)

    def __init__(self, data: Any, labels: list[str], measures: Sequence[Measure] = ()) -> None:
        super().__init__(data, label_suffix="")
        asked = [*(Measure(label, label, -1e6, 1e6) for label in labels), *measures]
        self.keys = {f"reading_{place}": measure.key for place, measure in enumerate(asked)}
        for name, measure in zip(self.keys, asked, strict=True):
            bounds = {"min_value": measure.low, "max_value": measure.high}
            self.fields[name] = Reading(label=measure.label, required=False, **bounds)
        self.order_fields(list(self.keys))

    def readings(self) -> dict[str, float]:
        """What was measured, by the check it answers or the key it is kept under."""
        given = {name: self.cleaned_data.get(name) for name in self.keys}
        return {self.keys[name]: value for name, value in given.items() if value is not None}


class ReasonForm(forms.Form):
    """Why work stops or is opened again: one of the usual reasons, or one's own words."""

    usual = forms.CharField(max_length=80, required=False)
    reason = forms.CharField(label=_("In your own words"), max_length=200, required=False)

    def clean(self) -> dict[str, Any]:
        given = [text for text in (self.cleaned_data.get("usual"), self.cleaned_data.get("reason")) if text]
        if not given:
            raise forms.ValidationError(_("Say the reason: choose one or write a few words."))
        return {**self.cleaned_data, "whole": ": ".join(given)}
