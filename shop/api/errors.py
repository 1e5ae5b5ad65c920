"""The one shape of every API refusal: ``{"problems": [{"field", "code", "message"}]}``."""

from __future__ import annotations

from typing import Any

from rest_framework.response import Response
from rest_framework.views import exception_handler

from routing.errors import NotAllowed, WrongState
from specs.errors import Refused


def told(error: Exception, context: dict[str, Any]) -> Response | None:
    """The response of a refused request; None lets a programming error be one."""
    if isinstance(error, Refused):
        return _problems(400, [(p.field, p.code, p.message) for p in error.problems])
    if isinstance(error, WrongState):
        return _problems(409, [("document", "wrong-state", str(error))])
    if isinstance(error, NotAllowed):
        return _problems(403, [("document", "not-allowed", str(error))])
    response = exception_handler(error, context)
    if response is not None:
        response.data = {"problems": list(_flat(response.data))}
    return response


def _problems(status: int, rows: list[tuple[str, str, str]]) -> Response:
    return Response({"problems": [{"field": f, "code": c, "message": m} for f, c, m in rows]}, status=status)


def _flat(data: Any, field: str = "document") -> Any:
    if isinstance(data, dict):
        for key, inner in data.items():
            yield from _flat(inner, field if key in ("detail", "non_field_errors") else str(key))
    elif isinstance(data, list):
        for inner in data:
            yield from _flat(inner, field)
    else:
        yield {"field": field, "code": getattr(data, "code", "refused"), "message": str(data)}
