"""What a person chooses about themselves: the units they read."""

from django import forms

from shop.people.models import Person


class PreferencesForm(forms.ModelForm):
    class Meta:
        model = Person
        fields = ("units",)
        widgets = {"units": forms.RadioSelect}
