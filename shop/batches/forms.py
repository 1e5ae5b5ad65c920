"""What is typed about a batch: what is ordered, another arrival, the count, the decision."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from routing.models import Batch, Outcome
from shop.batches.services import Wanted
from specs.models import Pattern

MOST_PIECES = 200


class OrderForm(forms.Form):
    """A batch to order of a partner."""

    pattern = forms.ModelChoiceField(Pattern.objects.none(), label=_("Pattern"), empty_label=_("choose a pattern"))
    partner = forms.CharField(max_length=120, label=_("Partner"))
    pieces = forms.IntegerField(min_value=1, max_value=MOST_PIECES, label=_("Pieces"), help_text=_("20 to 50 is usual"))
    left_pieces = forms.IntegerField(
        min_value=0, max_value=MOST_PIECES, initial=0, label=_("Of them left-handed"),
        help_text=_("5 to 8 in a hundred is usual"),
    )  # fmt: skip
    expected_on = forms.DateField(
        label=_("Expected here"), help_text=_("usually four and a half months from now"),
        widget=forms.DateInput(attrs={"type": "date"}),
    )  # fmt: skip
    reason = forms.CharField(
        max_length=300, required=False, label=_("Reason, where the pattern has cautions"),
        help_text=_("your initials are kept with it"),
    )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        self.fields["pattern"].queryset = Pattern.objects.offered().filter(line="series")

    def clean(self) -> dict[str, Any]:
        given = self.cleaned_data
        if given.get("left_pieces", 0) > given.get("pieces", MOST_PIECES):
            self.add_error("left_pieces", _("Not more than the pieces ordered."))
        return given

    def wanted(self) -> Wanted:
        """What was typed, as the service takes it."""
        return Wanted(**self.cleaned_data)


class ArrivalForm(forms.ModelForm):
    """The day the partner names now."""

    class Meta:
        model = Batch
        fields = ("expected_on",)
        widgets = {"expected_on": forms.DateInput(attrs={"type": "date"})}


class CountForm(forms.Form):
    """Which serials came out of the cartons, and how many of them are drawn for the sample."""

    arrived = forms.MultipleChoiceField(required=False)
    sample = forms.IntegerField(min_value=1, label=_("Drawn for the sample"))

    def __init__(self, data: Any, serials: list[str]) -> None:
        super().__init__(data)
        self.fields["arrived"].choices = [(serial, serial) for serial in serials]


class DecisionForm(forms.Form):
    """What becomes of the batch."""

    outcome = forms.ChoiceField(choices=Outcome.choices, label=_("Decision"), widget=forms.RadioSelect)
    note = forms.CharField(max_length=200, required=False, label=_("Remark"))
