"""A press of a button that writes counts once: the same token gets the first answer again and writes nothing."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any
from uuid import UUID

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from routing.errors import NotAllowed, WrongState
from shop.people.models import Press

View = Callable[..., HttpResponse]
KEPT_HEADERS = ("Location", "Content-Type", "HX-Redirect", "HX-Trigger")


def token_of(request: HttpRequest) -> UUID | None:
    """The press token of a form field or header; None where it is missing or malformed."""
    try:
        return UUID(request.headers.get("Press-Token") or request.POST.get("press", ""))
    except ValueError:
        return None


def claim(token: UUID, request: HttpRequest) -> tuple[Press, bool]:
    """The row of this press and whether it is the first with its token; call inside a transaction."""
    return Press.objects.get_or_create(token=token, defaults={"person": request.user, "path": request.path})


def belongs(press: Press, request: HttpRequest) -> bool:
    """Whether a kept answer was given to the same person at the same place."""
    return press.person_id == request.user.pk and press.path == request.path


def pressed(fresh: View | None = None) -> Callable[[View], View]:
    """Make a view that writes answer each token once.

    A refusal (``WrongState``) rolls everything back and answers 409 with ``fresh``, the view that shows the row as it
    is now; it is called with ``refusal``, the reason.
    """

    def decorate(view: View) -> View:
        @wraps(view)
        def once(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if request.method in ("GET", "HEAD"):
                return view(request, *args, **kwargs)
            token = token_of(request)
            if token is None:
                return _refused(request, _("This button was pressed without its token: reload the page."), 400)
            try:
                return _first_or_again(request, token, view, args, kwargs)
            except WrongState as refusal:
                return _too_late(request, fresh, str(refusal), args, kwargs)
            except NotAllowed as refusal:
                return _refused(request, str(refusal), 403)

        return once

    return decorate


def _first_or_again(request: HttpRequest, token: UUID, view: View, args: Any, kwargs: Any) -> HttpResponse:
    with transaction.atomic():
        press, first = claim(token, request)
        if not first:
            return again(press, request)
        response = view(request, *args, **kwargs)
        if response.status_code >= 400:
            transaction.set_rollback(True)
        else:
            _keep(press, response)
        return response


def _keep(press: Press, response: HttpResponse) -> None:
    press.status = response.status_code
    press.headers = {name: response[name] for name in KEPT_HEADERS if name in response}
    press.body = "" if response.streaming else response.content.decode()
    press.save(update_fields=["status", "headers", "body"])


def again(press: Press, request: HttpRequest) -> HttpResponse:
    """The first answer of a press once more."""
    if not belongs(press, request):
        return _refused(request, _("This token was used for something else: reload the page."), 409)
    return HttpResponse(press.body, status=press.status, headers=press.headers)


def _too_late(request: HttpRequest, fresh: View | None, why: str, args: Any, kwargs: Any) -> HttpResponse:
    if fresh is None:
        return _refused(request, why, 409)
    response = fresh(request, *args, refusal=why, **kwargs)
    response.status_code = 409
    return response


def _refused(request: HttpRequest, why: str, status: int) -> HttpResponse:
    return render(request, "people/refused.html", {"why": why}, status=status)
