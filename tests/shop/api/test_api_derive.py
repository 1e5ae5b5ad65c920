"""A spec document in, the public answer out, over HTTP as by the command."""

from __future__ import annotations

import json

import pytest

from shop.api.parsers import LONGEST_BYTES
from specs.answer import answer
from specs.derive import derive
from specs.facts import OrderFacts
from specs.parsing import parse
from specs.rules import check
from specs.starters import starter
from specs.tables import load_tables
from tests.specs.documents import document

PATH = "/api/derive/"


def _send(client, body, query="", content_type="application/json"):
    text = body if isinstance(body, str | bytes) else json.dumps(body)
    return client.post(PATH + query, text, content_type=content_type)


@pytest.fixture
def client(api_of, bench):
    return api_of(bench)


@pytest.mark.parametrize("order", [document(), starter(4), starter(5), starter(6, hand="left")])
def test_the_answer_is_the_public_one(order, client):
    derived = derive(parse(order), load_tables())
    expected = json.loads(json.dumps(answer(derived, check(derived, OrderFacts()))))
    assert _send(client, order).json() == expected


def test_twelfth_fret_of_the_bass_string_is_half_its_scale(client):
    """Equal temperament (ISO 16 tuning, octave 2:1): fret 12 halves the string's own scale, 37 in = 939.8 mm."""
    made = _send(client, document()).json()
    assert made["strings"][0]["scale_mm"] == pytest.approx(939.8, abs=1e-9)
    assert made["frets"][12]["from_nut_mm"][0] == pytest.approx(469.9, abs=1e-9)


def test_facts_decide_rules(client):
    order = starter(5)
    derived = derive(parse(order), load_tables())
    facts = OrderFacts(line="series", export=True, permit=True)
    rules = [finding.rule for finding in check(derived, facts)]
    said = _send(client, order, "?line=series&export=1&permit=true").json()["findings"]
    assert [finding["rule"] for finding in said] == rules
    assert said != _send(client, order).json()["findings"]


def test_facts_that_are_none(client, problems_of):
    response = _send(client, document(), "?line=single&export=perhaps&colour=red")
    assert problems_of(response, 400) == [("line", "invalid-choice"), ("export", "invalid"), ("colour", "unknown-key")]


def test_every_problem_of_a_document_at_its_field(client, problems_of):
    broken = document({"scale.bass": "37", "fingerboard.frets": True, "nut.colour": "red"})
    assert problems_of(_send(client, broken), 400) == [
        ("scale.bass", "no-unit"), ("nut.colour", "unknown-key"), ("fingerboard.frets", "not-a-number"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ('{"format": 1', ("document", "not-json")),
        ("", ("format", "missing")),
        ("[]", ("document", "not-an-object")),
        ('{"format": 1, "format": 1}', ("format", "repeated-key")),
        ('{"scale": {"bass": NaN}}', ("scale.bass", "not-finite")),
        (b'{"hand": "\xff"}', ("document", "not-utf-8")),
        ("[" * 5000, ("document", "too-deep")),
        ('"' + "a" * LONGEST_BYTES + '"', ("document", "too-long")),
    ],
)
def test_a_broken_body(body, expected, client, problems_of):
    assert expected in problems_of(_send(client, body), 400)


def test_a_string_no_catalogue_knows(client, problems_of):
    gauges = ["0.130 in", "0.100 in", "0.080 in", "0.065 in", "0.017 in"]
    response = _send(client, document({"strings.gauges": gauges}))
    assert problems_of(response, 400) == [("strings.gauges.4", "unknown-string")]


def test_only_json_is_read(client, problems_of):
    response = _send(client, "format=1", content_type="application/x-www-form-urlencoded")
    assert problems_of(response, 415) == [("request", "unsupported-media-type")]
