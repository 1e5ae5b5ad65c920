"""A press counts once: the same token gets the same answer and writes nothing."""

from __future__ import annotations

from uuid import uuid4

import pytest

from shop.people.models import Press, Units

PREFERENCES = "/preferences/"


@pytest.fixture
def token() -> str:
    return str(uuid4())


def test_same_token_writes_once_and_answers_the_same(bench, client_of, token):
    client = client_of(bench)
    first = client.post(PREFERENCES, {"units": Units.INCH, "press": token})
    bench.units = Units.MM
    bench.save()
    second = client.post(PREFERENCES, {"units": Units.INCH, "press": token})
    bench.refresh_from_db()
    assert (first.status_code, first["Location"]) == (second.status_code, second["Location"]) == (302, PREFERENCES)
    assert bench.units == Units.MM
    assert Press.objects.count() == 1


def test_token_may_come_in_a_header(bench, client_of, token):
    client_of(bench).post(PREFERENCES, {"units": Units.INCH64}, headers={"Press-Token": token})
    bench.refresh_from_db()
    assert bench.units == Units.INCH64


@pytest.mark.parametrize("press", ["", "not-a-token"])
def test_without_a_token_nothing_is_written(bench, client_of, press):
    response = client_of(bench).post(PREFERENCES, {"units": Units.INCH, "press": press})
    bench.refresh_from_db()
    assert response.status_code == 400
    assert bench.units == Units.MM


def test_somebody_elses_token_is_refused(bench, sales, client_of, token):
    client_of(bench).post(PREFERENCES, {"units": Units.INCH, "press": token})
    response = client_of(sales).post(PREFERENCES, {"units": Units.INCH, "press": token})
    sales.refresh_from_db()
    assert response.status_code == 409
    assert sales.units == Units.MM


def test_a_refused_form_keeps_no_press(bench, client_of, token):
    response = client_of(bench).post(PREFERENCES, {"units": "ells", "press": token})
    assert response.status_code == 400
    assert not Press.objects.exists()


def test_an_htmx_refusal_is_a_part_of_a_page(bench, client_of):
    response = client_of(bench).post(PREFERENCES, {"units": Units.INCH}, headers={"HX-Request": "true"})
    assert b"Nothing was changed" in response.content
    assert b"<html" not in response.content
