"""Expected hours: the published mean of three estimates, and attendance against what trade figures say of a week."""

from __future__ import annotations

import numpy as np
import pytest

from routing.catalogue import STATIONS
from routing.expand import build_rows
from routing.expected import REWORK, attended_h, mean_h, ticks_of
from specs.facts import OrderFacts

WAITS_ONLY = {row.name for row in STATIONS if row.waits_only}


@pytest.mark.parametrize(
    ("low", "usual", "high", "mean"),
    [(1, 2, 9, 3), (2, 3.5, 8, 4), (6, 9, 18, 10), (4, 5.5, 10, 6), (1, 4.5, 5, 4), (4, 4, 10, 5)],
)
def test_the_mean_of_three_estimates(low, usual, high, mean):
    """Activities A to F of the Reliable Construction example. **Source**: Hillier and Lieberman, *Introduction to
    Operations Research*, table of three estimates and means (from memory)."""
    assert mean_h(low, usual, high) == pytest.approx(mean, abs=1e-12)


def test_quarter_hours_are_rounded_up_and_nothing_stays_nothing():
    assert ticks_of([0, 0.1, 0.25, 0.26, 1, 2.925]).tolist() == [0, 1, 1, 2, 4, 12]


def test_a_week_of_forty_hours_holds_twenty_eight_to_thirty_two_touch_hours(order):
    """**Source**: useful bench hours a 40-hour week, common practice; every task of an ordinary instrument, rework
    included, which is work too."""
    rows = [row for row in build_rows(order({}), OrderFacts(line="custom")) if row.station not in WAITS_ONLY]
    means = mean_h(*np.array([row.touch_h for row in rows]).T)
    planned_h = ticks_of(attended_h(means)).sum() / 4
    assert 28 <= 40 * REWORK * means.sum() / planned_h <= 32
