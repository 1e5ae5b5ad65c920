"""What is typed about people: the units one reads; by the manager, who signs in, as what and where they work."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.utils.translation import gettext_lazy as _

from routing.models import Station
from shop.people.models import Person, Role

HOURS = "hours_"
MOST_HOURS = 60


class PreferencesForm(forms.ModelForm):
    class Meta:
        model = Person
        fields = ("units",)
        widgets = {"units": forms.RadioSelect}


class PersonForm(forms.ModelForm):
    """A person with a field of weekly hours for every station; empty hours mean: does not work there."""

    password = forms.CharField(
        label=_("Password"), required=False, strip=False, widget=forms.PasswordInput(attrs={"autocomplete": "off"})
    )

    class Meta:
        model = Person
        fields = ("username", "first_name", "last_name", "role", "initials", "is_active")
        labels = {"username": _("Sign-in name"), "is_active": _("May sign in")}
        help_texts = {"username": "", "is_active": ""}

    def __init__(self, data: Any, *, by: Person, instance: Person | None = None) -> None:
        super().__init__(data, instance=instance)
        self.by, self.is_new = by, instance is None
        if self.is_new:
            del self.fields["is_active"]
        self.fields["password"].required = self.is_new
        self.fields["password"].label = _("Password") if self.is_new else _("New password (empty: stays as it is)")
        known = {} if instance is None else dict(instance.qualifications.values_list("station_id", "weekly_hours"))
        for station in Station.objects.all():
            self.fields[f"{HOURS}{station.pk}"] = forms.FloatField(
                label=_(station.name), required=False, min_value=0, max_value=MOST_HOURS, initial=known.get(station.pk),
                widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
            )  # fmt: skip

    @property
    def about(self) -> list[forms.BoundField]:
        """The fields of the person."""
        return [field for field in self if not field.name.startswith(HOURS)]

    @property
    def stations(self) -> list[forms.BoundField]:
        """The fields of weekly hours."""
        return [field for field in self if field.name.startswith(HOURS)]

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        if password := given.get("password"):
            self._check(password)
        if self.instance == self.by and not (given.get("is_active", True) and given.get("role") == Role.MANAGER):
            self.add_error("role", _("Nobody shuts themselves out: another manager can change your role or close it."))
        return given

    def _check(self, password: str) -> None:
        try:
            validate_password(password, self.instance)
        except forms.ValidationError as refused:
            self.add_error("password", refused)

    def given(self) -> dict[str, Any]:
        """What was typed, the hours by station."""
        typed = dict(self.cleaned_data)
        hours = {name: typed.pop(name) for name in list(typed) if name.startswith(HOURS)}
        return typed | {"hours": {int(name[len(HOURS) :]): each for name, each in hours.items() if each is not None}}
