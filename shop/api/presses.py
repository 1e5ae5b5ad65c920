"""A press of the API counts once: the same token gets the first answer again and writes nothing."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any
from uuid import UUID

from django.db import transaction
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.utils.translation import gettext as _
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from shop.api.errors import refused
from shop.people.models import Press
from shop.people.presses import belongs, claim
from specs.errors import Problem, Refused

HEADER = "Press-Token"
JSON = "application/json"

View = Callable[..., Response]


def pressed(view: View) -> Callable[..., HttpResponseBase]:
    """Make a view that writes answer each token once; it stands inside of the framework's own decorators.

    Press, work and kept answer are one transaction: any refusal leaves it as an exception and rolls all of it back.
    """

    @wraps(view)
    def once(request: Request, *args: Any, **kwargs: Any) -> HttpResponseBase:
        token = _token_of(request)
        with transaction.atomic():
            press, first = claim(token, request)
            return _keep(press, view(request, *args, **kwargs)) if first else _again(press, request)

    return once


def _token_of(request: Request) -> UUID:
    try:
        return UUID(request.headers.get(HEADER, ""))
    except ValueError:
        message = _("Send a header Press-Token with a new UUID; send the same one again when you repeat a request.")
        raise Refused.one(HEADER, "missing", message) from None


def _keep(press: Press, response: Response) -> Response:
    press.status, press.headers = response.status_code, {"Content-Type": JSON}
    press.body = JSONRenderer().render(response.data).decode()
    press.save(update_fields=["status", "headers", "body"])
    return response


def _again(press: Press, request: Request) -> HttpResponseBase:
    if not belongs(press, request):
        return refused(409, [Problem(HEADER, "used", _("This token was used for something else: make a new one."))])
    return HttpResponse(press.body, status=press.status, headers=press.headers)
