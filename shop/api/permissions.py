"""The API asks the same table of who may open what as every page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rest_framework.exceptions import MethodNotAllowed
from rest_framework.permissions import BasePermission

from shop.people.access import TABLE, may, role_of

if TYPE_CHECKING:  # the views read this module while they load
    from rest_framework.request import Request
    from rest_framework.views import APIView


class Listed(BasePermission):
    """Open where the access table says so for this URL, method and role; a method not in its row does not exist."""

    def has_permission(self, request: Request, view: APIView) -> bool:
        name = request.resolver_match.view_name
        if name in TABLE and request.method not in TABLE[name]:
            raise MethodNotAllowed(request.method)
        return may(name, request.method, role_of(request))
