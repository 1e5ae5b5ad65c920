"""What a request may ask: filters and bodies, each key declared; what is not declared is refused, not overlooked."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext_lazy as _
from rest_framework import serializers
from rest_framework.exceptions import ErrorDetail, ValidationError
from rest_framework.request import Request

from routing.models import TaskState
from shop.api.paging import Pages
from shop.orders.models import OrderState
from specs.models import Stage

LINES = ("custom", "series")
MOST_READINGS = 20
LONGEST_LABEL = 120
YES = ("1",)


class Asked(serializers.Serializer):
    """Declared keys and no others."""

    def to_internal_value(self, data: Mapping[str, Any]) -> dict[str, Any]:
        unknown = {
            key: [ErrorDetail(_("Not known here: take it out."), "unknown-key")]
            for key in data
            if key not in self.fields
        }
        try:
            values = super().to_internal_value(data)
        except ValidationError as refused:
            raise ValidationError(refused.detail | unknown) from refused
        if unknown:
            raise ValidationError(unknown)
        return values


def query_of(request: Request, asked: type[Asked]) -> dict[str, Any]:
    """The query parameters of a request. Raises ``ValidationError`` with every problem."""
    return _read(asked, request.query_params.dict())


def body_of(request: Request, asked: type[Asked]) -> dict[str, Any]:
    """The body of a request. Raises ``ValidationError`` with every problem."""
    return _read(asked, request.data)


def _read(asked: type[Asked], given: Mapping[str, Any]) -> dict[str, Any]:
    form = asked(data=given)
    form.is_valid(raise_exception=True)
    return dict(form.validated_data)


class Paged(Asked):
    page = serializers.IntegerField(required=False, min_value=1, help_text="the page, from 1")
    page_size = serializers.IntegerField(
        required=False, min_value=1, max_value=Pages.max_page_size, help_text="rows on a page; 50 unless told"
    )


class OrderFilters(Paged):
    state = serializers.ChoiceField(OrderState.choices, required=False)
    line = serializers.ChoiceField(LINES, required=False)
    q = serializers.CharField(required=False, max_length=80, help_text="words in number, customer or remark")


class BuildFilters(Paged):
    line = serializers.ChoiceField(LINES, required=False)
    open = serializers.ChoiceField(YES, required=False, help_text="1: neither finished nor cancelled")
    q = serializers.CharField(required=False, max_length=80, help_text="part of the serial")


class DesignFilters(Paged):
    stage = serializers.ChoiceField(Stage.choices, required=False)


class TaskFilters(Paged):
    station = serializers.SlugField(required=False)
    state = serializers.ChoiceField(TaskState.choices, required=False)
    build = serializers.CharField(required=False, max_length=20, help_text="the serial")
    ready = serializers.ChoiceField(YES, required=False, help_text="1: a hand can take it now")


class Facts(Asked):
    """Facts of an order that are not the instrument's but decide rules."""

    line = serializers.ChoiceField(LINES, required=False)
    export = serializers.BooleanField(required=False, help_text="shipped abroad; false unless told")
    permit = serializers.BooleanField(required=False, help_text="a permit is needed for listed wood; false unless told")


class Credentials(Asked):
    username = serializers.CharField(max_length=150)
    password = serializers.CharField(max_length=200, trim_whitespace=False)


class Nothing(Asked):
    """An empty body, or an empty object."""


class Reason(Asked):
    reason = serializers.CharField(max_length=300)


class Measured(serializers.FloatField):
    """A JSON number; no text that looks like one."""

    def to_internal_value(self, data: Any) -> float:
        if isinstance(data, bool) or not isinstance(data, int | float):
            self.fail("invalid")
        return super().to_internal_value(data)


class Done(Asked):
    readings = serializers.DictField(
        child=Measured(min_value=-1e6, max_value=1e6), required=False, help_text="what was measured, by the check"
    )
    note = serializers.CharField(required=False, allow_blank=True, max_length=300)

    def validate_readings(self, readings: dict[str, float]) -> dict[str, float]:
        if len(readings) > MOST_READINGS:
            raise ValidationError(_("Give at most %d readings.") % MOST_READINGS, "count")
        if not all(label.isprintable() and 0 < len(label) <= LONGEST_LABEL for label in readings):
            raise ValidationError(_("Name each reading in at most %d characters.") % LONGEST_LABEL, "label")
        return readings
