"""The time chart's page."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shop.backlog.chart import Chart


def page(request: HttpRequest) -> HttpResponse:
    """The published plan over some weeks, by instrument or by station."""
    return render(request, "backlog/chart.html", {"chart": Chart(request.GET, timezone.now())})
