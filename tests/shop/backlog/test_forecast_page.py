"""The page of the forecast: the least likely promise first, each with shape and word, and a fixed number of queries."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from routing.models import Job
from routing.planning.forecasting import FORECAST
from shop.backlog.forecasts import ForecastPage
from tests.routing.planning.planned_shop import build, crew, run

pytestmark = pytest.mark.django_db
PAGE = "/backlog/forecast/"


@pytest.fixture
def owner():
    return crew()[0]


def forecasted(owner, count: int = 1, first: int = 0) -> None:
    for at in range(first, first + count):
        build(owner, f"C26-{at:04d}", promise=timezone.localdate() + timedelta(days=300 - 310 * (at % 2)))
    run()
    run(FORECAST)


def test_without_a_forecast_it_says_what_begins_it(client_of, manager):
    assert "No forecast yet" in client_of(manager).get(PAGE).content.decode()


def test_the_least_likely_comes_first_with_a_word(client_of, manager, owner):
    forecasted(owner, 2)
    build(owner, "C26-0007")
    run()
    run(FORECAST)
    shown = ForecastPage(timezone.now())
    assert [(each.name, each.sign) for each in shown.orders] == [
        ("C26-0001", "stop"), ("C26-0000", "go"), ("C26-0007", ""),
    ]  # fmt: skip
    page = client_of(manager).get(PAGE).content.decode()
    assert page.index("likely late") < page.index("holds")
    assert page.count('class="reach"') == 3


def test_a_quick_plan_later_keeps_the_forecast_on_the_page(client_of, manager, owner):
    forecasted(owner)
    build(owner, "C26-0009")
    run()
    assert [each.name for each in ForecastPage(timezone.now()).orders] == ["C26-0000"]


def test_more_orders_need_no_more_queries(client_of, manager, owner, queries_of):
    client = client_of(manager)

    forecasted(owner)
    before = queries_of(client, PAGE)
    forecasted(owner, 5, first=1)
    assert queries_of(client, PAGE) == before


def test_a_forecast_is_asked_for_once(client_of, manager):
    client = client_of(manager)
    for token in ("3f6c0a52-8f0e-4c58-9a36-0d9f7d0c7a01", "3f6c0a52-8f0e-4c58-9a36-0d9f7d0c7a02"):
        assert client.post(f"{PAGE}again/", {"press": token}).status_code == 302
    assert Job.objects.filter(kind=FORECAST).count() == 1
