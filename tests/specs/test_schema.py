"""The schema against the jsonschema library and its own meta-schema (JSON Schema 2020-12)."""

import copy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from specs.errors import Refused
from specs.parsing import parse
from specs.schema import json_schema
from specs.starters import starter

SCHEMA = Draft202012Validator(json_schema())


def test_the_schema_is_a_schema():
    Draft202012Validator.check_schema(json_schema())


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("construction", ["bolt-on", "neck-through"])
@pytest.mark.parametrize("strings", [4, 5, 6])
def test_every_starter_validates(strings, construction, hand):
    SCHEMA.validate(starter(strings, construction, hand))


BROKEN_ALONE = [
    ("format", 2), ("hand", "both"), ("hand", None), ("strings.tuning", ["E1", "A1"]), ("strings.tuning", ["H1"] * 5),
    ("strings.gauges", [7.0] * 5), ("strings.gauges", ["0.080"] * 5), ("strings.gauges", ["1 ft"] * 5),
    ("strings.gauges", [1] * 13), ("strings.winding", "wound"), ("strings.cores", [True] * 5),
    ("strings.unit_weights", [0.2] * 5), ("strings.reference_pitch_hz", "440"), ("strings.tunning", []),
    ("scale.bass", 399), ("scale.bass", "-37 in"), ("scale.bass", "1e3 mm"), ("scale.perpendicular_fret", -1),
    ("nut.spread", None), ("nut.kind", "zero"), ("bridge.piezo", 1), ("fingerboard.frets", 24.5),
    ("fingerboard.frets", "24"), ("fingerboard.radius_nut", 99), ("pickups", None), ("pickups", [{}]),
    ("pickups", [{"name": "a", "rows": [], "fraction": 0.1, "angle": 0}]),
    ("pickups", [{"name": "a", "rows": [{"strings": [1, 2, 3, 4, 5]}], "fraction": 1, "angle": 0}]),
    ("pickups", [{"name": "a", "rows": [{"strings": [1, 2, 3, 4, 5]}], "fraction": 0.1, "angle": "straight"}]),
    ("pickups", [{"name": "a", "rows": [{"strings": [1, 2, 3, 4, 5], "offset": "1"}], "fraction": 0.1, "angle": 0}]),
    ("action.h_saddle", [21] * 5), ("action.h_saddle", None), ("neck.ears", "no"), ("remarks", 7), ("action", None),
]  # fmt: skip


@pytest.mark.parametrize(("path", "value"), BROKEN_ALONE, ids=range(len(BROKEN_ALONE)))
def test_what_one_value_gets_wrong_is_refused_by_both(path, value):
    document = _with(path, value)
    assert not SCHEMA.is_valid(document)
    with pytest.raises(Refused):
        parse(document)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("scale.bass", "37 in"), ("scale.bass", '37"'), ("scale.bass", "36-3/4 in"), ("fingerboard.frets", 24.0),
        ("strings.gauges", [".130 in", ".105in", "2.159 mm", "0.1651 cm", "9/200 in"]), ("action.h_saddle", 3),
        ("strings.cores", [None, 1, None, None, None]), ("fingerboard.radius_end", None),
        ("pickups", [{"name": "a", "rows": [{"strings": [1, 2, 3, 4, 5], "offset": "-1/4 in"}], "fraction": 0.1,
                      "angle": "best"}]),
    ],
)  # fmt: skip
def test_what_is_right_is_accepted_by_both(path, value):
    document = _with(path, value)
    assert parse(document)
    SCHEMA.validate(document)


def _with(path, value):
    document = copy.deepcopy(starter(5))
    *parents, last = path.split(".")
    inside = document[parents[0]] if parents else document
    inside[last] = value
    return document


@settings(derandomize=True, max_examples=150, deadline=None)
@given(st.from_regex(r'-?[0-9]{0,4}[ .-]?[0-9]{1,2}(/[0-9])? ?(mm|cm|in|"|m)?', fullmatch=True))
def test_the_schema_refuses_no_length_the_parser_reads(text):
    document = _with("scale.treble", text)
    assert SCHEMA.is_valid(document) or not _parses(document)


def _parses(document):
    try:
        return bool(parse(document))
    except Refused:
        return False
