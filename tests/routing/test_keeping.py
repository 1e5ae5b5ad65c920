"""How many parts to keep, against SciPy's Poisson quantile; days saved, by chains worked out by hand."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

import pytest
from scipy import stats

from routing.catalogue import Touch
from routing.expand import ExpandedTask
from routing.keeping import days_saved, days_to_make, pieces_to_keep
from routing.workdays import WorkCalendar

ALWAYS = WorkCalendar("UTC", (((time(0), time(0)),),) * 7)
START = datetime(2026, 4, 13, 8, 0, tzinfo=UTC)


@pytest.mark.parametrize("service", [0.5, 0.8, 0.9, 0.95, 0.99])
@pytest.mark.parametrize("expected", [0.01, 0.3, 1, 2.5, 7, 40, 900])
def test_pieces_are_scipys_poisson_quantile(expected, service):
    assert pieces_to_keep(expected, service) == stats.poisson.ppf(service, expected)


def test_nothing_is_kept_of_what_nobody_asks_for():
    assert pieces_to_keep(0, 0.95) == 0


@pytest.mark.parametrize(("expected", "service"), [(-1, 0.9), (float("nan"), 0.9), (1, 0), (1, 1), (1e9, 0.9)])
def test_what_is_no_expectation_or_no_share_is_refused(expected, service):
    with pytest.raises(ValueError, match="service lies between 0 and 1"):
        pieces_to_keep(expected, service)


def row(name: str, after: tuple[str, ...], usual: float, wait_h: float = 0) -> ExpandedTask:
    return ExpandedTask(name, "Mill", after, Touch(usual, usual, usual), wait_h)


def network(body_wait_h: float) -> list[ExpandedTask]:
    return [
        row("begin", (), 1),
        row("mill", ("begin",), 2, 168),
        row("glue", ("mill",), 1, 72),
        row("body", ("begin",), 4, body_wait_h),
        row("join", ("glue", "body"), 2),
    ]


def test_the_days_saved_are_the_difference_of_the_longest_chains():
    """With: 1 + 2 + 168 + 1 + 72 + 2 h; without: 1 + 4 + 24 + 2 h."""
    saved = days_saved(network(24), ALWAYS, START, {"mill", "glue"})
    assert saved == pytest.approx((246 - 31) / 24)


def test_nothing_is_saved_where_another_chain_decides():
    assert days_saved(network(400), ALWAYS, START, {"mill", "glue"}) == 0


def test_days_to_make_count_the_last_rest():
    assert days_to_make(network(24)[:3], ALWAYS, START) == pytest.approx((1 + 2 + 168 + 1 + 72) / 24)


def test_a_weekend_stretches_them():
    weekdays = WorkCalendar("UTC", (*(((time(8), time(16)),),) * 5, (), ()))
    friday = START + timedelta(days=4, hours=7)
    assert days_to_make([row("mill", (), 2)], weekdays, friday) == pytest.approx((1 + 64 + 1) / 24)
