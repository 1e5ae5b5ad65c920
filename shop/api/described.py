"""Words the API's description repeats: the refusals of an operation, the press header, the spec document's schema."""

from __future__ import annotations

from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse

from shop.api.presses import HEADER
from shop.api.rows import Problems
from specs.schema import json_schema

WHY = {
    400: "Every problem of what was sent.",
    401: "Sign in first.",
    403: "Not open to you, or not yours to do.",
    404: "There is no such thing.",
    409: "It is no longer in the state for that; with the row as it is now.",
    415: "Send application/json.",
    429: "Too many tries: wait.",
}
PRESS = OpenApiParameter(
    HEADER,
    OpenApiTypes.UUID,
    OpenApiParameter.HEADER,
    required=True,
    description="A new UUID for each wish. The same one again gets the first answer and writes nothing.",
)


def refusals(*statuses: int) -> dict[int, OpenApiResponse]:
    """The responses of refused requests, all of one shape."""
    return {status: OpenApiResponse(Problems, WHY[status]) for status in statuses}


def spec_document() -> dict[str, Any]:
    """The spec document's schema as part of another one."""
    return {key: value for key, value in json_schema().items() if key != "$schema"}
