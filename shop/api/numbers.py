"""The further numbers of an order's instrument: the same groups as on its page, unrounded."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from django.http import Http404
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from routing.measured import weighed_planks
from shop.api.described import refusals
from shop.api.errors import refused as told_refused
from shop.orders.models import Order
from specs.errors import Refused
from specs.numbers import Figure, numbers
from specs.released import current
from specs.wood.planks import measured_kg_m3

Text = serializers.CharField


class PlaceRow(serializers.Serializer):
    kind = Text(help_text="fret, string, nut, or a wood")
    number = serializers.IntegerField(allow_null=True)


class LimitRow(serializers.Serializer):
    word = Text(help_text="at least or at most")
    value = serializers.FloatField()


class FigureRow(serializers.Serializer):
    key = Text()
    label = Text()
    value = serializers.JSONField(help_text="a number, a word, or null where it cannot be computed")
    unit = Text()
    how = Text()
    source = Text()
    place = PlaceRow(allow_null=True)
    limit = LimitRow(allow_null=True)
    kept = serializers.BooleanField(allow_null=True, help_text="whether the limit is kept")
    lacking = Text(help_text="why there is no value")


class ColumnRow(serializers.Serializer):
    label = Text()
    unit = Text()


class TableRow(serializers.Serializer):
    key = Text()
    title = Text()
    columns = ColumnRow(many=True)
    rows = serializers.ListField(child=serializers.ListField(child=serializers.JSONField()))


class GroupRow(serializers.Serializer):
    key = Text()
    title = Text()
    figures = FigureRow(many=True)
    tables = TableRow(many=True)
    note = Text()
    lacking = serializers.ListField(child=Text(), help_text="why there are no figures")


class NumbersRow(serializers.Serializer):
    groups = GroupRow(many=True)


class OrderNumbers(APIView):
    @extend_schema(
        operation_id="get_order_numbers",
        summary="Further figures of an order's instrument: neck, headstock, body, balance, wood",
        responses={200: NumbersRow, **refusals(401, 403, 404, 409)},
    )
    def get(self, request: Request, number: str) -> Response:
        order = Order.objects.select_related("spec", "build").filter(number=number).first()
        if order is None:
            raise Http404
        try:
            derived = current(order.spec)
        except Refused as refused:
            return told_refused(409, refused.problems)
        told = numbers(derived, densities=measured_kg_m3(derived.spec, weighed_planks(order.build)))
        return Response({"groups": [_group(asdict(group), group.figures) for group in told.groups]})


def _group(written: dict[str, Any], figures: tuple[Figure, ...]) -> dict[str, Any]:
    """A group as written, each figure with whether it keeps its limit."""
    kept = [row | {"kept": figure.kept} for row, figure in zip(written["figures"], figures, strict=True)]
    return written | {"figures": kept}
