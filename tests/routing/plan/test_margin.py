"""The margin: quantiles against numpy, its prior, and the share kept by a shop that changes (invented errors)."""

from __future__ import annotations

import numpy as np
import pytest

from routing.plan.margin import FEWEST, WINDOW, Kept, learned, margin, margin_table, prior

STEADY_WITHIN = 0.05
"""How far the share kept may lie from the level: the band asked of a two-year history."""


def kept(*errors: float) -> list[Kept]:
    return [Kept(bare=80, promised=86, finished=80 + error) for error in errors]


def share_kept(errors: np.ndarray, level: float, delay: int = 30) -> float:
    """What share of promises is kept when each is given ``delay`` promises before it comes due."""
    given = [learned(level, errors[: place - delay]) for place in range(FEWEST + delay, len(errors))]
    return float(np.mean(errors[FEWEST + delay :] <= given))


def test_thirty_equal_quantiles_are_numpys():
    errors = np.random.default_rng(3).gamma(4, 2, size=FEWEST)
    expected = np.quantile(errors, 0.8, method="inverted_cdf")
    found = margin(0.8, kept(*errors), None, days_away=80)
    assert (found.days, found.source, found.records) == (pytest.approx(expected), "record", FEWEST)


def test_before_thirty_the_forecast_counts_and_before_that_the_prior():
    few = kept(*range(FEWEST - 1))
    assert margin(0.8, few, 4.5).days == 4.5
    assert margin(0.8, few, 4.5).source == "forecast"
    assert margin(0.8, few, None, days_away=100).days == pytest.approx(8.0)
    assert margin(0.8, [], None, days_away=10).days == pytest.approx(5.0)
    assert margin(0.8, [], None).kept_share is None


def test_a_higher_level_asks_for_more():
    assert prior(0.95, 100) > prior(0.8, 100) > prior(0.5, 100) > 0
    errors = list(np.random.default_rng(4).gamma(4, 2, size=200))
    assert learned(0.95, errors) > learned(0.8, errors) > learned(0.5, errors)


def test_a_shop_always_early_gets_no_negative_margin():
    assert margin(0.8, kept(*[-3.0] * 40), None).days == 0.0


@pytest.mark.parametrize("level", [0.0, 1.0, 80])
def test_a_level_is_a_share(level):
    with pytest.raises(ValueError, match="between 0 and 1"):
        margin(level, [], None)


@pytest.mark.parametrize("level", [0.7, 0.8, 0.9])
@pytest.mark.parametrize("seed", range(3))
def test_the_share_kept_tends_to_the_level(level, seed):
    errors = np.random.default_rng(seed).gamma(4, 2, size=600) - 3
    assert share_kept(errors, level) == pytest.approx(level, abs=STEADY_WITHIN)


@pytest.mark.parametrize("seed", range(3))
def test_the_share_kept_comes_back_after_a_slowdown(seed):
    errors = np.random.default_rng(seed).gamma(4, 2, size=800) - 3
    errors[300:] += 8
    assert share_kept(errors[300 + WINDOW - FEWEST - 30 :], 0.8) == pytest.approx(0.8, abs=STEADY_WITHIN)
    assert share_kept(errors, 0.8) == pytest.approx(0.8, abs=STEADY_WITHIN)


def test_errors_that_drift_are_followed_better_than_by_the_quantile_alone():
    rng = np.random.default_rng(7)
    errors = rng.gamma(4, 2, size=800) + np.linspace(0, 40, 800)
    alone = [
        np.quantile(errors[max(0, at - 30 - WINDOW) : at - 30], 0.8, method="inverted_cdf") for at in range(60, 800)
    ]
    assert abs(share_kept(errors, 0.8) - 0.8) < abs(float(np.mean(errors[60:] <= alone)) - 0.8)


def test_a_table_of_margins_is_numpys_quantiles_read_in_proportion():
    rng = np.random.default_rng(5)
    ahead, beyond = np.arange(12.0) * 10, rng.gamma(4, 2, size=(12, 200))
    table = margin_table(ahead, beyond)
    near, next_to_it = (np.quantile(beyond[rows].ravel(), 0.8, method="inverted_cdf") for rows in ([0, 1], [2, 3]))
    assert table.at(0.8, 5) == pytest.approx(near)
    assert table.at(0.8, 15) == pytest.approx((near + next_to_it) / 2)
    assert table.at(0.8, 0) == table.at(0.8, 5)
    assert table.at(0.5, 50) < table.at(0.8, 50) < table.at(0.95, 50)


def test_no_orders_no_table():
    assert margin_table(np.zeros(0), np.zeros((0, 5))) is None


def test_dates_farther_away_get_more_and_near_ones_less():
    errors = np.random.default_rng(6).gamma(4, 2, size=FEWEST)
    near, same, far = (margin(0.8, kept(*errors), None, days).days for days in (0, 80, 170))
    assert near == pytest.approx(same / 9)
    assert far == pytest.approx(2 * same)
