"""What every page knows: the title block's owner and day, and the places a person may open."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.people.access import STRANGER, may, role_of

PLACES = (
    ("orders:list", _("Orders")),
    ("batches:list", _("Batches")),
    ("floor:stations", _("Bench")),
    ("backlog:page", _("Backlog")),
    ("orders:customers", _("Customers")),
    ("people:people", _("People")),
)


def sheet(request: HttpRequest) -> dict[str, Any]:
    """Context of the drawing sheet around every page."""
    role = role_of(request) if hasattr(request, "user") else STRANGER
    return {
        "owner": settings.OWNER,
        "today": timezone.localdate(),
        "role": role,
        "places": [(name, label) for name, label in PLACES if may(name, "GET", role)],
        "place": place_of(getattr(request.resolver_match, "view_name", "")),
    }


def place_of(view_name: str) -> str:
    """The place a page belongs to; empty where it belongs to none."""
    if view_name.startswith("orders:customer"):
        return "orders:customers"
    if view_name.startswith("people:person"):
        return "people:people"
    namespace = view_name.split(":")[0]
    if namespace == "people":
        return view_name
    return next((name for name, _label in PLACES if name.startswith(f"{namespace}:")), "")
