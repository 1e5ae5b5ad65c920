"""The API asks the same table of who may open what as every page."""

from rest_framework.permissions import BasePermission
from rest_framework.request import Request
from rest_framework.views import APIView

from shop.people.access import may, role_of


class Listed(BasePermission):
    """Open where the access table says so for this URL, method and role."""

    def has_permission(self, request: Request, view: APIView) -> bool:
        return may(request.resolver_match.view_name, request.method, role_of(request))
