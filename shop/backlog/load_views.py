"""The page of load."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shop.backlog.load import WEEKS, LoadPage


def page(request: HttpRequest) -> HttpResponse:
    """Hours planned against hours there are, by station and by person, and the bottleneck with its reasons."""
    asked = request.GET.get("weeks", "")
    weeks = int(asked) if asked in map(str, WEEKS) else WEEKS[0]
    return render(request, "backlog/load.html", {"load": LoadPage(timezone.now(), weeks)})
