"""A token for user name and password, refused without saying which of them is wrong, and not for ever."""

from __future__ import annotations

import pytest

PATH = "/api/token/"


def _ask(client, **given):
    return client.post(PATH, given, format="json")


def test_a_token_opens_the_api(api_of, bench):
    token = _ask(api_of(), username="dunlin", password="low tide 4").json()["token"]
    client = api_of()
    client.credentials(HTTP_AUTHORIZATION=f"Token {token}")
    assert client.get("/api/stations/").status_code == 200
    assert _ask(api_of(), username="dunlin", password="low tide 4").json() == {"token": token}


def test_a_stale_token_is_not_in_the_way_of_a_new_one(api_of, bench):
    client = api_of()
    client.credentials(HTTP_AUTHORIZATION="Token stale")
    assert _ask(client, username="dunlin", password="low tide 4").status_code == 200


@pytest.mark.parametrize("given", [("dunlin", "high tide"), ("nobody", "low tide 4")])
def test_the_refusal_does_not_say_which_is_wrong(given, api_of, bench, problems_of):
    response = _ask(api_of(), username=given[0], password=given[1])
    assert problems_of(response, 400) == [("document", "not-recognised")]


def test_whoever_left_gets_no_token(api_of, bench, problems_of):
    bench.is_active = False
    bench.save()
    assert problems_of(_ask(api_of(), username="dunlin", password="low tide 4"), 400) == [
        ("document", "not-recognised")
    ]


def test_every_problem_of_the_body_is_told(api_of, problems_of):
    assert problems_of(_ask(api_of(), name="dunlin"), 400) == [
        ("username", "required"), ("password", "required"), ("name", "unknown-key"),
    ]  # fmt: skip


def test_the_eleventh_try_within_a_minute_waits(api_of, problems_of):
    tries = [_ask(api_of(), username="dunlin", password="guess").status_code for _ in range(10)]
    assert tries == [400] * 10
    response = _ask(api_of(), username="dunlin", password="guess")
    assert problems_of(response, 429) == [("request", "throttled")]
    assert int(response["Retry-After"]) <= 60
