"""People of a workshop, a client for each, and storage that leaves nothing behind."""

from __future__ import annotations

import pytest
from django.core.cache import cache
from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from routing.planning.published import forget
from shop.orders.checking import kept_answer
from shop.people.models import Person, Role
from specs.guards import install
from specs.released import kept


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every test that touches a database, so that it can be run again on the other one."""
    for item in items:
        if item.get_closest_marker("django_db") or {"db", "transactional_db"} & set(item.fixturenames):
            item.add_marker("database")


@pytest.fixture(autouse=True)
def _own_storage(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "papers"
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def _nothing_kept():
    """A rolled back test gives its row numbers to the next, so nothing read under them may be kept."""
    kept.cache_clear()
    kept_answer.cache_clear()
    cache.clear()
    forget()


@pytest.fixture
def sales(db) -> Person:
    return Person.objects.create_user("sanderling", password="low tide 4", role=Role.SALES, initials="SA")


@pytest.fixture
def bench(db) -> Person:
    return Person.objects.create_user("dunlin", password="low tide 4", role=Role.BENCH, initials="DU")


@pytest.fixture
def manager(db) -> Person:
    return Person.objects.create_user("avocet", password="low tide 4", role=Role.MANAGER, initials="AV")


@pytest.fixture
def flushable(transactional_db):
    """Released specs stay whoever asks, so a test that commits clears them away before the next one starts."""
    yield
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("DROP TRIGGER specs_released_DELETE")
    call_command("flush", interactive=False, verbosity=0)
    install()


@pytest.fixture
def queries_of():
    """How many queries a client's look at an address takes."""

    def counted(client: Client, address: str) -> int:
        with CaptureQueriesContext(connection) as caught:
            assert client.get(address).status_code == 200
        return len(caught)

    return counted


@pytest.fixture
def client_of():
    """A client signed in as that person; without one, a stranger's."""

    def signed_in(person: Person | None = None) -> Client:
        client = Client(SERVER_NAME="localhost")
        if person is not None:
            client.force_login(person)
        return client

    return signed_in
