"""Lists of numbers typed into one field, with commas or spaces between them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.validators import BaseValidator
from django.utils.translation import gettext_lazy as _


class NumberList(forms.CharField):
    """At most ``most`` finite numbers; every validator of ``each`` looks at each of them. Gives a tuple."""

    def __init__(self, *, most: int, each: Sequence[BaseValidator] = (), **more: Any) -> None:
        super().__init__(max_length=200, **more)
        self.most, self.each, self.one = most, each, forms.FloatField(validators=list(each))

    def clean(self, value: Any) -> tuple[float, ...]:
        """The numbers. Raises ValidationError."""
        parts = super().clean(value).replace(",", " ").split()
        if len(parts) > self.most:
            raise forms.ValidationError(_("Give at most %(most)s numbers."), params={"most": self.most})
        return tuple(self.one.clean(part) for part in parts)
