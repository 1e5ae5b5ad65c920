"""The API's own matters: tokens, descriptions, deriving an instrument, and addresses that do not exist."""

from __future__ import annotations

from typing import Any

from django.contrib.auth import authenticate
from django.utils.translation import gettext as _
from drf_spectacular.renderers import OpenApiJsonRenderer, OpenApiJsonRenderer2
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from drf_spectacular.views import SpectacularJSONAPIView
from rest_framework.authtoken.models import Token
from rest_framework.exceptions import NotFound
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.throttling import SimpleRateThrottle
from rest_framework.views import APIView

from routing.figures import FIGURES, figure
from shop.api.answers import Answer
from shop.api.asked import Credentials, Facts, body_of, query_of
from shop.api.described import refusals, spec_document
from shop.api.permissions import Listed
from shop.api.rows import TokenRow
from specs.answer import answer
from specs.derive import derive
from specs.errors import Refused
from specs.facts import OrderFacts
from specs.parsing import parse
from specs.rules import check
from specs.schema import json_schema
from specs.tables import load_tables

schema = SpectacularJSONAPIView.as_view(
    permission_classes=[Listed], renderer_classes=[OpenApiJsonRenderer2, OpenApiJsonRenderer]
)


class TokenRate(SimpleRateThrottle):
    """Ten tries a minute from one address, so that passwords are not guessed here."""

    scope = "token"
    rate = "10/min"

    def get_cache_key(self, request: Request, view: APIView) -> str:
        return self.cache_format % {"scope": self.scope, "ident": request.META.get("REMOTE_ADDR")}


class Tokens(APIView):
    """Needs no sign-in and looks at none: a stale token or session must not be in the way of a new token."""

    authentication_classes = ()
    throttle_classes = (TokenRate,)

    @extend_schema(
        operation_id="get_token",
        summary="The token of a person, for user name and password",
        request=Credentials,
        responses={200: TokenRow, **refusals(400, 415, 429)},
        auth=[],
    )
    def post(self, request: Request) -> Response:
        person = authenticate(request, **body_of(request, Credentials))
        if person is None:
            raise Refused.one("document", "not-recognised", _("User name and password do not belong together."))
        return Response({"token": Token.objects.get_or_create(user=person)[0].key})


class SpecSchema(APIView):
    @extend_schema(
        operation_id="get_spec_schema",
        summary="The JSON Schema of the spec document",
        responses={200: OpenApiTypes.OBJECT, **refusals(401, 403)},
    )
    def get(self, request: Request) -> Response:
        return Response(json_schema())


class Derive(APIView):
    @extend_schema(
        operation_id="derive",
        summary="Compute the instrument of a spec document; nothing is kept",
        parameters=[Facts],
        request={"application/json": spec_document()},
        responses={200: Answer, **refusals(400, 401, 403, 415)},
    )
    def post(self, request: Request) -> Response:
        facts = OrderFacts(**query_of(request, Facts))
        derived = derive(parse(request.data), load_tables())
        return Response(answer(derived, check(derived, facts)))


class Figure(APIView):
    @extend_schema(
        operation_id="compute_figure",
        summary=f"Compute one figure from its arguments: {', '.join(FIGURES)}",
        request={"application/json": OpenApiTypes.OBJECT},
        responses={200: OpenApiTypes.OBJECT, **refusals(400, 401, 403, 415)},
    )
    def post(self, request: Request, name: str) -> Response:
        return Response(figure(name)(request.data))


@extend_schema(exclude=True)
class Unknown(APIView):
    """Every other address under the API: told in the API's own shape."""

    def get(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        raise NotFound(_("There is no such address; those of the API end with a slash."))

    post = put = patch = delete = get
