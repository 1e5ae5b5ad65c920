"""How lists are paged in the API."""

from __future__ import annotations

from typing import Any

from rest_framework.pagination import PageNumberPagination


class Pages(PageNumberPagination):
    """Numbered pages of 50 rows, or as many as ``page_size`` asks for."""

    page_size_query_param = "page_size"
    max_page_size = 200

    def get_paginated_response_schema(self, schema: dict[str, Any]) -> dict[str, Any]:
        """A page for the API's description; the first has no previous page, the last no next one."""
        beside = {"type": ["string", "null"], "format": "uri"}
        return {
            "type": "object",
            "properties": {"count": {"type": "integer"}, "next": beside, "previous": beside, "results": schema},
            "required": ["count", "next", "previous", "results"],
        }
