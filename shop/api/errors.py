"""The one shape of every API refusal: ``{"problems": [{"field", "code", "message"}]}``."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from rest_framework.response import Response
from rest_framework.views import exception_handler

from routing.errors import NotAllowed, WrongState
from specs.errors import Problem, Refused

REQUEST, DOCUMENT = "request", "document"
"""Fields of problems that belong to no single value: the request itself, its body as a whole."""


def told(error: Exception, context: dict[str, Any]) -> Response | None:
    """The response of a refused request; None lets a programming error be one."""
    match error:
        case Refused():
            return refused(400, error.problems)
        case WrongState():
            return refused(409, [Problem(REQUEST, "wrong-state", str(error))])
        case NotAllowed():
            return refused(403, [Problem(REQUEST, "not-allowed", str(error))])
    response = exception_handler(error, context)
    if response is not None:
        response.data = _shape(_problems(response.data))
    return response


def refused(status: int, problems: Iterable[Problem], **more: Any) -> Response:
    """The response that tells those problems, with what else it carries beside them."""
    return Response(_shape(problems) | more, status=status)


def _shape(problems: Iterable[Problem]) -> dict[str, Any]:
    return {"problems": [{"field": one.field, "code": one.code, "message": one.message} for one in problems]}


def _problems(data: Any, path: tuple[str, ...] = ()) -> Iterator[Problem]:
    """The framework's nested refusals one by one, each at its dotted path."""
    match data:
        case {"detail": str() as detail}:
            yield _problem(detail, REQUEST)
        case dict():
            for key, inner in data.items():
                yield from _problems(inner, path if key == "non_field_errors" else (*path, str(key)))
        case list():
            for inner in data:
                yield from _problems(inner, path)
        case _:
            yield _problem(data, ".".join(path) or DOCUMENT)


def _problem(said: Any, field: str) -> Problem:
    return Problem(field, getattr(said, "code", "refused").replace("_", "-"), str(said))
