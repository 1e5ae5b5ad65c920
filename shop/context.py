"""What every page knows: the title block's owner, the units a person chose, the places they may open."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from shop.people.access import may, role_of

PLACES = (
    ("orders:list", _("Orders")),
    ("floor:stations", _("Bench")),
    ("backlog:page", _("Backlog")),
    ("orders:customers", _("Customers")),
)


def sheet(request: HttpRequest) -> dict[str, Any]:
    """Context of the drawing sheet around every page."""
    role = role_of(request)
    here = getattr(request.resolver_match, "namespace", "")
    places = [(reverse(name), label, name.split(":")[0] == here) for name, label in PLACES if may(name, "GET", role)]
    return {"owner": settings.OWNER, "places": places, "role": role}
