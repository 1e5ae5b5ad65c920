"""The pages of trial plans: what may be tried, what came of it, and who has the rush tag."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from routing.ahead import unfinished
from routing.changes import BY_SLUG, KINDS, Change, Kind
from routing.models import Build, Station, Trial
from routing.planning.moves import Move
from routing.planning.rushing import standing_tags
from shop.orders.models import Order
from shop.people.models import Person
from specs.models import Pattern

SHOWN = 20
LABELS = {
    "like": gettext_lazy("who can do what this person does"), "station": gettext_lazy("station"),
    "person": gettext_lazy("who"), "pattern": gettext_lazy("pattern"), "build": gettext_lazy("serial"),
    "hours": gettext_lazy("hours a week"), "weeks": gettext_lazy("weeks"), "count": gettext_lazy("how many"),
    "first": gettext_lazy("from"), "last": gettext_lazy("to"),
}  # fmt: skip


class TrialForm(forms.Form):
    """The fields of one kind of change, as the list of kinds declares them."""

    def __init__(self, kind: Kind, data: Any = None) -> None:
        super().__init__(data, prefix=kind.slug)
        self.kind = kind
        for name in kind.keys:
            self.fields[name] = _key(name, required=kind.slug != "overtime")
        for name, (least, most) in kind.numbers.items():
            self.fields[name] = forms.IntegerField(label=LABELS[name], min_value=least, max_value=most)
        for name in kind.days:
            day = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
            self.fields[name] = forms.DateField(label=LABELS[name], widget=day)

    def change(self) -> Change:
        """What was typed as a change of the plan; rows by their keys, days as ISO 8601."""
        return {"kind": self.kind.slug} | {name: _plain(given) for name, given in self.cleaned_data.items()}


def _key(name: str, required: bool) -> forms.Field:
    if name == "build":
        typed, there = forms.TextInput(attrs={"autocomplete": "off"}), unfinished().exclude(released_at=None)
        return forms.ModelChoiceField(there, label=LABELS[name], to_field_name="serial", widget=typed)
    rows = {"station": Station.objects.all(), "pattern": Pattern.objects.offered()}
    people = Person.objects.filter(is_active=True).order_by("first_name", "username")
    return forms.ModelChoiceField(rows.get(name, people), label=LABELS[name], required=required)


def _plain(given: Any) -> Any:
    if given is None:
        return 0
    return given.isoformat() if isinstance(given, date) else getattr(given, "pk", given)


def every_form(given: TrialForm | None = None) -> list[TrialForm]:
    """One form of each kind; the one that was refused with what was typed."""
    return [given if given is not None and given.kind is kind else TrialForm(kind) for kind in KINDS]


def listed_trials() -> list[tuple[Trial, str]]:
    """The newest trials, each with what it tries in words."""
    trials = Trial.objects.select_related("asked_by", "job").defer("plan")[:SHOWN]
    return [(trial, tried_said(trial)) for trial in trials]


def tried_said(trial: Trial) -> str:
    """What a trial changes, by the names of its kinds."""
    return ", ".join(str(BY_SLUG[change["kind"]].label) for change in trial.changes)


def is_rush(trial: Trial) -> bool:
    """Whether a trial is of the rush tag, which is put with reason, fee and initials."""
    return any(change["kind"] == "rush" for change in trial.changes)


class Moved:
    """One line of a result: whose instrument, when it leaves before and after, by how many days."""

    def __init__(self, move: Move, name: str) -> None:
        self.name, self.days = name, move.days
        self.before, self.after = date.fromisoformat(move.before), date.fromisoformat(move.after)
        self.was_late, self.is_late = move.was_late, move.is_late

    @property
    def later(self) -> int:
        return max(0, self.days)

    @property
    def earlier(self) -> int:
        return max(0, -self.days)


def moved(trial: Trial) -> list[Moved]:
    """Who moves, the most first; two queries."""
    moves = [Move(*row) for row in trial.result.get("moves", ())]
    builds = dict(Build.objects.filter(pk__in=[move.build for move in moves]).values_list("pk", "serial"))
    orders = Order.objects.filter(booking__in=[move.booking for move in moves if move.booking])
    numbers = dict(orders.values_list("booking_id", "number"))
    return [Moved(move, builds.get(move.build) or numbers.get(move.booking) or _("a new order")) for move in moves]


def fullest(trial: Trial) -> Station | None:
    """The station that holds the plan up most."""
    return Station.objects.filter(pk=trial.result.get("station")).first()


def rush_tag() -> Any:
    """The one rush tag that stands, with its instrument; None without one."""
    return standing_tags().select_related("build", "put_by").first()
