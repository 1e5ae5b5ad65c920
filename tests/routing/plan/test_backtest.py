"""Promises over an invented history: the share kept is the one asked for; ``tests/bench/backtest.py`` is longer."""

from __future__ import annotations

import numpy as np
import pytest

from tests.routing.plan.two_years import Shop

FEW_WITHIN = 0.12
"""How far the share kept of a hundred promises, which come due in runs, may lie from the level."""


def test_half_a_year_of_promises_is_kept_as_asked():
    kept = [is_kept for _day, is_kept in Shop(1, lives=180).live()]
    assert len(kept) > 80
    assert np.mean(kept) == pytest.approx(0.8, abs=FEW_WITHIN)
