"""Flow figures against Little's law on a deterministic line, numpy, and a queue whose mean is published.

The M/M/1 queue: L = ρ / (1 − ρ), W = 1 / (μ − λ) (any queueing text, e.g. Gross & Harris, chapter 2).
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from routing.flow import FEWEST, Month, Passage, little, percentile, trend

BEGIN = datetime(2026, 1, 5, tzinfo=UTC)


def days(count: float) -> timedelta:
    return timedelta(days=count)


def passage(at: float, took: float | None, serial: str = "C26-0001") -> Passage:
    released = BEGIN + days(at)
    return Passage(serial, released - days(30), released, None if took is None else released + days(took))


def test_lead_time_counts_from_the_deposit_and_flow_time_from_release():
    one = passage(0, 90)
    assert (one.lead_days, one.flow_days) == (120, 90)
    assert (passage(0, None).lead_days, Passage("C26-0002", BEGIN).flow_days) == (None, None)


def test_percentiles_are_values_that_were_reached():
    took = [70.0, 80.0, 90.0, 100.0, 200.0]
    assert [percentile(took, share) for share in (0.5, 0.8, 0.95)] == [90, 100, 200]
    with pytest.raises(ValueError, match="no percentile"):
        percentile([], 0.5)


def test_a_steady_line_obeys_littles_law():
    """Three a week, each four weeks on the floor: twelve stand there."""
    steady = [passage(at * 7 / 3 - 200, 28) for at in range(400)]
    found = little(steady, BEGIN, BEGIN + days(364))
    assert (round(found.on_floor, 2), round(found.per_week, 2), found.flow_days) == (12.0, 3.0, 28.0)
    assert (found.agree, found.grew, found.forgotten) == (True, 0, ())


def test_a_floor_that_fills_does_not_agree_and_says_by_how_many():
    filling = [passage(at * 7 / 6, 28 + at) for at in range(200)]
    found = little(filling, BEGIN, BEGIN + days(182))
    assert (found.agree, found.gap > 0) == (False, True)
    assert (found.at_begin, found.grew, found.at_end) == (1, 83, 84)


def test_what_left_unseen_is_named_oldest_first():
    seen = [passage(at * 7 / 3 - 200, 28) for at in range(250)]
    lost = [passage(-300 + at, None, f"C25-000{at}") for at in (2, 1)]
    found = little([*seen, *lost], BEGIN, BEGIN + days(182))
    assert [one.serial for one in found.forgotten] == ["C25-0001", "C25-0002"]


def test_too_few_that_left_say_nothing():
    few = [passage(at, 10) for at in range(FEWEST - 1)]
    assert little(few, BEGIN, BEGIN + days(60)) is None
    with pytest.raises(ValueError, match="ends after it begins"):
        little(few, BEGIN, BEGIN)


def test_one_bench_fed_at_random_has_the_mean_a_queueing_text_gives():
    """M/M/1 at 80 % load by Lindley's recursion: four on the floor, each five services long; 20,000 instruments."""
    random = np.random.default_rng(20260105)
    arrivals = np.cumsum(random.exponential(1 / 0.8, 20_000))
    service, free, passages = random.exponential(1.0, 20_000), 0.0, []
    for at, work in zip(arrivals, service, strict=True):
        free = max(free, at) + work
        passages.append(passage(at, free - at))
    found = little(passages, BEGIN + days(1_000), BEGIN + days(24_000))
    assert found.on_floor == pytest.approx(0.8 / 0.2, rel=0.1)
    assert found.flow_days == pytest.approx(1 / 0.2, rel=0.1)
    assert found.expected == pytest.approx(found.on_floor, rel=0.01)


def test_a_trend_goes_month_by_month_and_leaves_no_month_out():
    left = [(date(2026, 1, 9), 80.0), (date(2026, 1, 30), 100.0), (date(2026, 3, 2), 90.0)]
    assert trend(left, date(2026, 3, 20), 4) == (
        Month(date(2025, 12, 1), 0, None, None),
        Month(date(2026, 1, 1), 2, 80, 100),
        Month(date(2026, 2, 1), 0, None, None),
        Month(date(2026, 3, 1), 1, 90, 90),
    )
