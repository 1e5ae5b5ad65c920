"""The API's promises: the date a spec would get now, and the date of a placed order, given once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import OpenApiResponse, extend_schema
from rest_framework import serializers
from rest_framework.decorators import api_view
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from routing.errors import WrongState
from routing.estimating import estimate_table
from routing.expand import build_rows
from routing.planning.promising import PlaceGone, Quoted, quote_order
from routing.planning.promising import Promise as Given
from shop.api.asked import Asked, Facts, body_of, query_of
from shop.api.described import PRESS, WHY, refusals, spec_document
from shop.api.errors import REQUEST, refused
from shop.api.presses import pressed
from shop.api.rows import OrderRow, Problems
from shop.orders.models import Order
from shop.orders.promising import accept, other_finishes_named
from shop.orders.queries import listed_orders
from specs.errors import Problem, Refused
from specs.facts import OrderFacts
from specs.parsing import parse

Day, Float, Text = serializers.DateField, serializers.FloatField, serializers.CharField
View = Callable[..., HttpResponseBase]


class PromiseRow(serializers.Serializer):
    """A date to be given."""

    promised_on = Day(help_text="the day to be promised")
    bare_on = Day(help_text="the day it leaves by the plan")
    begins_on = Day(help_text="the day work on it begins")
    margin_days = Float(source="margin.days", help_text="calendar days added to the plan's day")
    margin_source = Text(source="margin.source", help_text="record, forecast or prior")
    level = Float(help_text="share of promises to be kept")


class StepRow(serializers.Serializer):
    """One task of the chain that decides the date."""

    operation = Text()
    station = Text()
    begins_on = Day()
    ends_on = Day()
    wait_days = Float(help_text="days of the clock it waits for a cure, a rest or an answer before it")
    queue_days = Float(help_text="working days it waits for its place or for hands")


class SoonerRow(serializers.Serializer):
    what = Text()
    days = serializers.IntegerField(help_text="calendar days it would leave earlier")


class QuoteRow(PromiseRow):
    why = Text(source="reason.told")
    holds = Text(source="reason.holds", help_text="the station it waits for longest; empty: none")
    waits_for = serializers.ListField(source="reason.waits_for", child=Text(), help_text="parts or a permit")
    steps = StepRow(source="reason.steps", many=True)
    sooner = SoonerRow(many=True)


class PromiseRefusal(Problems):
    """With ``promise``, the date that is left, where the one shown has gone."""

    promise = PromiseRow(required=False)


class Shown(Asked):
    shown = Day(help_text="the day that was shown")
    also_later = serializers.BooleanField(required=False, default=False, help_text="a later day will do as well")


class Promise(APIView):
    @extend_schema(
        operation_id="quote_promise",
        summary="The date an order of that spec would get now, and why; nothing is kept",
        parameters=[Facts],
        request={"application/json": spec_document()},
        responses={200: QuoteRow, 409: OpenApiResponse(Problems, WHY[409]), **refusals(400, 401, 403, 415)},
    )
    def post(self, request: Request) -> Response:
        facts, spec = OrderFacts(**query_of(request, Facts)), parse(request.data)
        if facts.line != "custom":
            raise Refused.one("line", "not-promised", "an instrument of the series leaves when its batch is here")
        hours = estimate_table()
        others = other_finishes_named(spec, facts, hours)
        return Response(_quote(quote_order(build_rows(spec, facts, hours), now=timezone.now(), others=others)))


def _quote(quoted: Quoted) -> dict[str, Any]:
    shown = {**vars(quoted.promise), "reason": quoted.why, "sooner": quoted.sooner}
    return QuoteRow(shown).data


def or_the_day_left(view: View) -> View:
    """Let an acceptance that comes too late answer with the date that is left."""

    def told(request: Request, number: str) -> HttpResponseBase:
        try:
            return view(request, number)
        except PlaceGone as gone:
            return _refused(gone, gone.promise)

    return told


def _refused(gone: WrongState, left: Given) -> Response:
    return refused(409, [Problem(REQUEST, "place-gone", str(gone))], promise=PromiseRow(left).data)


@extend_schema(
    operation_id="accept_promise",
    summary="Give a placed order the date it was shown and keep its place",
    parameters=[PRESS],
    request=Shown,
    responses={
        200: OrderRow,
        409: OpenApiResponse(PromiseRefusal, "The place has gone, with the date left; or the order is not placed."),
        **refusals(400, 401, 403, 404, 415),
    },
)
@api_view(["POST"])
@or_the_day_left
@pressed
def order_promise(request: Request, number: str) -> Response:
    """The date of one order."""
    order = get_object_or_404(Order, number=number)
    accept(order=order, person=request.user, now=timezone.now(), **body_of(request, Shown))
    return Response(OrderRow(listed_orders().get(number=number)).data)
