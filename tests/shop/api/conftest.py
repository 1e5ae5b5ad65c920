"""Clients of the API by token, and a press token for each wish."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.core.cache import cache
from rest_framework.authtoken.models import Token
from rest_framework.test import APIClient

from shop.people.models import Person

SHAPE = {"field", "code", "message"}


class Api(APIClient):
    """A client that speaks JSON and can press."""

    def press(self, path: str, body: dict[str, Any] | None = None, token: Any = None) -> Any:
        headers = {"Press-Token": str(token or uuid4())}
        return self.post(path, body, format="json", headers=headers)


@pytest.fixture(autouse=True)
def _no_tries_yet():
    cache.clear()


@pytest.fixture
def api_of(db):
    """The API as that person reaches it with a token; without one, as a stranger does."""

    def speaking(person: Person | None = None) -> Api:
        client = Api(SERVER_NAME="localhost")
        if person is not None:
            client.credentials(HTTP_AUTHORIZATION=f"Token {Token.objects.get_or_create(user=person)[0].key}")
        return client

    return speaking


@pytest.fixture
def problems_of():
    """The problems of a refusal as (field, code), after looking at its shape."""

    def read(response: Any, status: int) -> list[tuple[str, str]]:
        assert (response.status_code, response["Content-Type"]) == (status, "application/json")
        problems = response.json()["problems"]
        assert problems
        assert all(set(problem) == SHAPE and problem["message"] for problem in problems)
        return [(problem["field"], problem["code"]) for problem in problems]

    return read
