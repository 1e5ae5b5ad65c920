"""What the manager types about capacity: absences, overtime, days, places; and one person's hours of every week."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, time
from typing import Any, ClassVar

from django import forms
from django.db.models import Model
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from routing.attendance import Absence, DayException, Overtime, PlacesOut
from routing.attending import (
    MOST_PLACES,
    add_absence,
    add_day,
    add_overtime,
    close_day,
    set_places,
    set_working_hours,
    take_places_out,
)
from routing.models import Holiday, Station
from shop.people.models import Person
from specs.errors import Refused

QUARTER_S = 15 * 60
STRETCHES = 2


def _day(label: str) -> forms.DateField:
    return forms.DateField(label=label, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))


def _clock(label: str, required: bool = True) -> forms.TimeField:
    widget = forms.TimeInput(attrs={"type": "time", "step": QUARTER_S}, format="%H:%M")
    return forms.TimeField(label=label, required=required, widget=widget)


def _reason(label: str) -> forms.CharField:
    return forms.CharField(label=label, max_length=120)


class _Colleague(forms.ModelChoiceField):
    def __init__(self) -> None:
        everybody = Person.objects.filter(is_active=True).order_by("first_name", "username")
        super().__init__(everybody, label=gettext_lazy("Who"), empty_label=gettext_lazy("choose"))


class _Place(forms.ModelChoiceField):
    def __init__(self) -> None:
        super().__init__(Station.objects.all(), label=gettext_lazy("Station"), empty_label=gettext_lazy("choose"))

    def label_from_instance(self, obj: Station) -> str:
        """The station in the reader's language."""
        return _(obj.name)


class CapacityForm(forms.Form):
    """A form that becomes one row of capacity, or says beside its fields why not."""

    kind: ClassVar[str]
    act: ClassVar[str]
    kept: ClassVar[type[Model] | None] = None

    def __init__(self, data: Any = None) -> None:
        super().__init__(data, prefix=self.kind)

    def keep(self, today: date) -> bool:
        """Whether what was typed is now kept."""
        if not self.is_valid():
            return False
        try:
            self.write(self.cleaned_data, today)
        except Refused as refused:
            for problem in refused.problems:
                self.add_error(problem.field, problem.message)
            return False
        return True

    def write(self, given: dict[str, Any], today: date) -> None:
        """Keep it by the service of its kind."""
        raise NotImplementedError


class AbsenceForm(CapacityForm):
    kind, act, kept = "absence", gettext_lazy("Write down an absence"), Absence
    person = _Colleague()
    first, last = _day(gettext_lazy("First day away")), _day(gettext_lazy("Last day away"))
    reason = _reason(gettext_lazy("Reason"))

    def write(self, given: dict[str, Any], today: date) -> None:
        add_absence(**given)


class OvertimeForm(CapacityForm):
    kind, act, kept = "overtime", gettext_lazy("Write down overtime"), Overtime
    person = _Colleague()
    date = _day(gettext_lazy("Day"))
    begins, ends = _clock(gettext_lazy("From")), _clock(gettext_lazy("To"))

    def write(self, given: dict[str, Any], today: date) -> None:
        add_overtime(**given, today=today)


class OwnDayForm(CapacityForm):
    kind, act, kept = "day", gettext_lazy("Give a day its own hours"), DayException
    date = _day(gettext_lazy("Day"))
    begins, ends = _clock(gettext_lazy("From")), _clock(gettext_lazy("To"))
    reason = _reason(gettext_lazy("Reason"))

    def write(self, given: dict[str, Any], today: date) -> None:
        add_day(**given, today=today)


class ClosedDayForm(CapacityForm):
    kind, act, kept = "closed", gettext_lazy("Close a day"), Holiday
    date = _day(gettext_lazy("Day"))
    name = forms.CharField(label=gettext_lazy("Name of the day"), max_length=80)

    def write(self, given: dict[str, Any], today: date) -> None:
        close_day(**given, today=today)


class PlacesOutForm(CapacityForm):
    kind, act, kept = "places-out", gettext_lazy("Take places out for a time"), PlacesOut
    station = _Place()
    first, last = _day(gettext_lazy("First day")), _day(gettext_lazy("Last day"))
    places = forms.IntegerField(label=gettext_lazy("How many places"), min_value=1, max_value=MOST_PLACES, initial=1)
    reason = _reason(gettext_lazy("Reason"))

    def write(self, given: dict[str, Any], today: date) -> None:
        take_places_out(**given)


class PlacesForm(CapacityForm):
    kind, act = "places", gettext_lazy("Change the number of places")
    station = _Place()
    places = forms.IntegerField(label=gettext_lazy("How many places"), min_value=1, max_value=MOST_PLACES)

    def write(self, given: dict[str, Any], today: date) -> None:
        set_places(**given)


FORMS: Mapping[str, type[CapacityForm]] = {
    form.kind: form for form in (AbsenceForm, OvertimeForm, OwnDayForm, ClosedDayForm, PlacesOutForm, PlacesForm)
}


class HoursForm(forms.Form):
    """One person's week, two stretches a day; or the shop's hours."""

    as_shop = forms.BooleanField(label=gettext_lazy("Works the shop's hours"), required=False)

    def __init__(self, data: Any, *, person: Person) -> None:
        super().__init__(data)
        self.person = person
        known = _known(person)
        self.fields["as_shop"].initial = not known
        for weekday in range(7):
            given = known.get(weekday, [])
            for place in range(STRETCHES):
                hours = given[place] if place < len(given) else (None, None)
                for end, label, value in zip(("begins", "ends"), (_("from"), _("to")), hours, strict=True):
                    field = self.fields[f"{end}_{weekday}_{place}"] = _clock(label, required=False)
                    field.initial = value

    @property
    def days(self) -> list[tuple[str, list[forms.BoundField], list[str]]]:
        """Each weekday's name, its fields in the order of the clock, and what is wrong with it."""
        return [(str(WEEKDAYS[weekday]), self._fields(weekday), self._said(weekday)) for weekday in range(7)]

    def keep(self) -> bool:
        """Whether what was typed is now kept."""
        if not self.is_valid():
            return False
        try:
            set_working_hours(person=self.person, hours=self._hours())
        except Refused as refused:
            for problem in refused.problems:
                self.add_error(f"begins_{problem.field.split('.')[0]}_0", problem.message)
        return self.is_valid()

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        for weekday in range(7):
            for place in range(STRETCHES):
                names = [f"{end}_{weekday}_{place}" for end in ("begins", "ends")]
                if [given.get(name) is None for name in names] in ([True, False], [False, True]):
                    self.add_error(names[0], _("Give both ends of the stretch, or none."))
        if not given.get("as_shop") and not self._hours() and not self.errors:
            self.add_error("as_shop", _("Tick this, or give the hours of one day at least."))
        return given

    def _hours(self) -> dict[int, list[tuple[time, time]]]:
        if self.cleaned_data.get("as_shop"):
            return {}
        week = {weekday: sorted(self._stretches(weekday)) for weekday in range(7)}
        return {weekday: hours for weekday, hours in week.items() if hours}

    def _stretches(self, weekday: int) -> list[tuple[time, time]]:
        ends = [[self.cleaned_data.get(f"{end}_{weekday}_{place}") for end in ("begins", "ends")]
                for place in range(STRETCHES)]  # fmt: skip
        return [(begins, closes) for begins, closes in ends if begins is not None and closes is not None]

    def _fields(self, weekday: int) -> list[forms.BoundField]:
        return [self[f"{end}_{weekday}_{place}"] for place in range(STRETCHES) for end in ("begins", "ends")]

    def _said(self, weekday: int) -> list[str]:
        return [said for field in self._fields(weekday) for said in field.errors]


def _known(person: Person) -> dict[int, list[tuple[time, time]]]:
    known: dict[int, list[tuple[time, time]]] = {}
    for weekday, begins, ends in person.working_hours.values_list("weekday", "begins", "ends"):
        known.setdefault(weekday, []).append((begins, ends))
    return known
