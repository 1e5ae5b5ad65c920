"""The manager's pages of the morning and of lead times."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shop.backlog.flow import Flow
from shop.backlog.morning import Morning


def page(request: HttpRequest) -> HttpResponse:
    """What is late or will be, which station holds everything up, what to do this morning."""
    return render(request, "backlog/page.html", {"morning": Morning(timezone.now())})


def lead_times(request: HttpRequest) -> HttpResponse:
    """How long instruments took, and whether floor, throughput and flow time agree."""
    return render(request, "backlog/flow.html", {"flow": Flow(timezone.now(), request.GET.get("line", ""))})
