"""Every named URL, method and role: what happens agrees with the one table, and nothing is missing from it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from shop.people.access import STRANGER, TABLE, may

METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
SAMPLES = {
    "IntConverter": 1,
    "SlugConverter": "fret-bench",
    "StringConverter": "X26-0001",
    "PathConverter": "no/such",
}
PATTERNS = get_resolver().url_patterns


def named(patterns: list[URLPattern | URLResolver], before: str = "") -> Iterator[tuple[str, dict[str, object]]]:
    """Every name of the resolver with sample values for its address."""
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            yield from named(pattern.url_patterns, f"{before}{pattern.namespace}:" if pattern.namespace else before)
        else:
            kinds = pattern.pattern.converters
            yield f"{before}{pattern.name}", {name: SAMPLES[type(kind).__name__] for name, kind in kinds.items()}


ADDRESSES = dict(named(PATTERNS))


def test_table_and_resolver_name_the_same_urls():
    assert set(TABLE) == set(ADDRESSES)


@pytest.fixture
def people(sales, bench, manager):
    return {STRANGER: None, "sales": sales, "bench": bench, "manager": manager}


@pytest.mark.parametrize("name", sorted(ADDRESSES))
def test_outcome_agrees_with_the_table(name, people, client_of):
    url = reverse(name, kwargs=ADDRESSES[name])
    for role, person in people.items():
        for method in METHODS:
            response = client_of(person).generic(method, url)
            assert outcome(response) in wanted(name, method, role), (method, role, response.status_code)


def outcome(response) -> str:
    """What became of a request, in one word."""
    if response.status_code == 302 and response["Location"].startswith(reverse("people:sign-in") + "?next="):
        return "to sign-in"
    return {401: "closed", 403: "closed", 405: "no such method"}.get(response.status_code, "open")


def wanted(name: str, method: str, role: str) -> tuple[str, ...]:
    """What may become of it by the table; the API refuses before it looks at the method."""
    if may(name, method, role):
        return ("open",)
    if name.startswith("api:"):
        return ("closed", "no such method")
    if TABLE.get(name) and method not in TABLE[name]:
        return ("no such method",)
    return ("to sign-in",) if role == STRANGER else ("closed",)


def test_a_superuser_may_what_a_manager_may(bench, client_of):
    bench.is_superuser = True
    bench.save()
    assert client_of(bench).get(reverse("backlog:page")).status_code == 200
