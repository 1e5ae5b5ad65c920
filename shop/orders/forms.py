"""What is typed beside a spec: what an order says of itself, a customer, initials for a caution."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.orders.models import Customer, Order
from shop.orders.services import About
from specs.errors import Problem


class AboutForm(forms.ModelForm):
    """Customer, dates and remark of an order; a draft may leave all of it open."""

    class Meta:
        model = Order
        fields = ("customer", "wanted_by", "permit", "carrier", "remark")

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)
        self.fields["customer"].required = False
        self.fields["customer"].empty_label = _("not chosen yet")

    def about(self) -> About:
        """What was typed; a field with a problem keeps what the order had."""
        self.is_valid()
        given = {name: self.cleaned_data.get(name, self.initial[name]) for name in self.fields}
        customer = given.pop("customer")
        return About(customer_id=getattr(customer, "pk", customer), **given)

    def problems(self) -> tuple[Problem, ...]:
        """Every problem of these fields, with what to do."""
        return tuple(Problem(name, "refused", " ".join(said)) for name, said in self.errors.items())


class CustomerForm(forms.ModelForm):
    """A player or a dealer."""

    class Meta:
        model = Customer
        fields = ("name", "is_dealer", "contact", "email", "phone", "ship_to", "country")

    def clean_country(self) -> str:
        """Two letters, in capitals."""
        code = self.cleaned_data["country"].strip().upper()
        if len(code) != 2 or not (code.isascii() and code.isalpha()):
            raise forms.ValidationError(_("Give the two letters of the country, such as PT or DE."))
        return code


class InitialForm(forms.Form):
    """Who answers for a caution, and why."""

    rule = forms.SlugField(max_length=80)
    field = forms.CharField(max_length=80)
    initials = forms.CharField(max_length=4, label=_("initials"))
    reason = forms.CharField(max_length=300, label=_("reason"))


class DepositForm(forms.Form):
    """When the instrument is promised, given as the deposit clears; it may stay open."""

    promise = forms.DateField(required=False, label=_("promise"))


class PromiseForm(forms.Form):
    """The day that was shown, and whether a later one will do as well."""

    shown = forms.DateField()
    also_later = forms.BooleanField(required=False)
