"""A pattern of the series and a batch of it."""

from __future__ import annotations

import pytest

from routing.models import Batch
from specs.models import Pattern
from tests.shop.batches.made import ordered, series_pattern


@pytest.fixture
def pattern(db) -> Pattern:
    return series_pattern()


@pytest.fixture
def batch(pattern, manager) -> Batch:
    return ordered(pattern, manager)
