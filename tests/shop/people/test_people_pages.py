"""Signing in and out, each role's first page, and what refusals say."""

from __future__ import annotations

import pytest
from django.template.loader import render_to_string
from django.urls import reverse

SIGN_IN = reverse("people:sign-in")


def test_signs_in_and_out(sales, client_of):
    client = client_of()
    answer = client.post(SIGN_IN, {"username": "sanderling", "password": "low tide 4"})
    assert answer["Location"] == reverse("people:home")
    assert client.post(reverse("people:sign-out"))["Location"] == SIGN_IN
    assert client.get(reverse("people:preferences")).status_code == 302


def test_wrong_password_says_what_to_do(sales, client_of):
    answer = client_of().post(SIGN_IN, {"username": "sanderling", "password": "high tide"})
    assert b"ask the manager" in answer.content
    assert b'value="sanderling"' in answer.content


def test_sign_in_leads_only_to_our_own_pages(sales, client_of):
    answer = client_of().post(
        SIGN_IN, {"username": "sanderling", "password": "low tide 4", "next": "https://example.org/"}
    )
    assert answer["Location"] == reverse("people:home")


@pytest.mark.parametrize(
    ("role", "page"), [("sales", "orders:list"), ("bench", "floor:stations"), ("manager", "backlog:page")]
)
def test_home_is_the_first_page_of_the_role(role, page, request, client_of):
    assert client_of(request.getfixturevalue(role)).get(reverse("people:home"))["Location"] == reverse(page)


def test_an_expired_htmx_request_goes_to_sign_in_whole(client_of, db):
    answer = client_of().get(reverse("people:preferences"), headers={"HX-Request": "true"})
    assert answer["HX-Redirect"] == SIGN_IN


def test_closed_page_says_nothing_was_lost(bench, client_of):
    answer = client_of(bench).get(reverse("backlog:page"))
    assert answer.status_code == 403
    assert b"Nothing was changed and nothing was lost" in answer.content


def test_floor_page_is_served_only_where_the_settings_say_so(bench, client_of, settings):
    client = client_of(bench)
    assert client.get(reverse("people:floor-page")).status_code == 404
    settings.FLOOR_PAGE = True
    assert client.get(reverse("people:floor-page")).status_code == 200


@pytest.mark.parametrize("page", ["400.html", "403_csrf.html", "500.html"])
def test_last_pages_need_nothing_of_a_request(page):
    assert "Go back" in render_to_string(page)
