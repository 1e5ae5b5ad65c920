"""The manager's page of the morning."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shop.backlog.morning import Morning


def page(request: HttpRequest) -> HttpResponse:
    """What is late or will be, which station holds everything up, what to do this morning."""
    return render(request, "backlog/page.html", {"morning": Morning(timezone.now())})
