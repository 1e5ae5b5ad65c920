"""What a bench types: readings by the number keys, a remark, the reason of a problem."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from routing.catalogue import Operation

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

    def __init__(self, data: Any, labels: list[str]) -> None:
        super().__init__(data, label_suffix="")
        for place, label in enumerate(labels):
            self.fields[f"reading_{place}"] = Reading(label=label, required=False, min_value=-1e6, max_value=1e6)
        self.order_fields([f"reading_{place}" for place in range(len(labels))])

    def readings(self) -> dict[str, float]:
        """What was measured, by the check it answers."""
        kept = {name: value for name, value in self.cleaned_data.items() if name != "note" and value is not None}
        return {str(self.fields[name].label): value for name, value in kept.items()}


class ReasonForm(forms.Form):
    """Why work stops or is opened again: one of the usual reasons, or one's own words."""

    usual = forms.CharField(max_length=80, required=False)
    reason = forms.CharField(label=_("In your own words"), max_length=200, required=False)

    def clean(self) -> dict[str, Any]:
        given = [text for text in (self.cleaned_data.get("usual"), self.cleaned_data.get("reason")) if text]
        if not given:
            raise forms.ValidationError(_("Say the reason: choose one or write a few words."))
        return {**self.cleaned_data, "whole": ": ".join(given)}
