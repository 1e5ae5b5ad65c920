"""The manager's page of the forecast, and asking for a new one."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from routing.planning.forecasting import ask_forecast
from shop.backlog.forecasts import ForecastPage
from shop.people.presses import pressed


def page(request: HttpRequest) -> HttpResponse:
    """When each order will really leave, and the chance to keep its promise."""
    return render(request, "backlog/forecast.html", {"shown": ForecastPage(timezone.now())})


@pressed(fresh=page)
def again(request: HttpRequest) -> HttpResponse:
    """A new forecast of what is published, in the background."""
    return redirect("papers:job", ask_forecast(request.user).pk)
