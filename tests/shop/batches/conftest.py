"""A pattern of the series and a batch of it."""

from __future__ import annotations

import pytest
from django.core.management import call_command
from django.db import connection

from routing.models import Batch
from specs.guards import install
from specs.models import Pattern
from tests.shop.batches.made import ordered, series_pattern


@pytest.fixture
def pattern(db) -> Pattern:
    return series_pattern()


@pytest.fixture
def batch(pattern, manager) -> Batch:
    return ordered(pattern, manager)


@pytest.fixture
def flushable(transactional_db):
    """Released specs stay whoever asks, so a test that commits clears them away before the next one starts."""
    yield
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("DROP TRIGGER specs_released_DELETE")
    call_command("flush", interactive=False, verbosity=0)
    install()
