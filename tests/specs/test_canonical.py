"""One document, one text: the examples RFC 8785 prints (from memory of sections 3.2.2-3.2.4 and Appendix B)."""

import hashlib
import json
import struct

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specs.canonical import canonical_bytes, complete, digest
from specs.parsing import parse
from specs.starters import starter

SAMPLE = r"""{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"""
SAMPLE_HEX = """
7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72 75 65 2c 66 61 6c 73 65 5d 2c 22 6e 75 6d 62 65 72 73 22
3a 5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31 65 2b 33 30 2c 34 2e 35 2c 30 2e 30 30 32 2c 31 65 2d
32 37 5d 2c 22 73 74 72 69 6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30 30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f 22 7d
"""
NUMBERS = {
    "0000000000000000": "0", "8000000000000000": "0", "0000000000000001": "5e-324", "8000000000000001": "-5e-324",
    "7fefffffffffffff": "1.7976931348623157e+308", "4340000000000000": "9007199254740992",
    "4430000000000000": "295147905179352830000", "44b52d02c7e14af5": "9.999999999999997e+22",
    "44b52d02c7e14af6": "1e+23", "44b52d02c7e14af7": "1.0000000000000001e+23",
    "444b1ae4d6e2ef4e": "999999999999999700000", "444b1ae4d6e2ef50": "1e+21",
    "3eb0c6f7a0b5ed8c": "9.999999999999997e-7", "3eb0c6f7a0b5ed8d": "0.000001",
    "41b3de4355555553": "333333333.3333332", "41b3de4355555557": "333333333.33333343",
    "becbf647612f3696": "-0.0000033333333333333333", "43143ff3c1cb0959": "1424953923781206.2",
}  # fmt: skip
SORTED_NAMES = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]


def test_the_sample_of_the_rfc_gives_its_bytes():
    assert canonical_bytes(json.loads(SAMPLE)) == bytes.fromhex(SAMPLE_HEX)


@pytest.mark.parametrize(("bits", "text"), NUMBERS.items())
def test_numbers_are_written_as_the_rfc_lists_them(bits, text):
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical_bytes({"n": number}) == b'{"n":' + text.encode() + b"}"


def test_names_are_sorted_by_utf_16_code_units():
    shuffled = dict.fromkeys(sorted(SORTED_NAMES, reverse=True), 0)
    assert list(json.loads(canonical_bytes(shuffled))) == SORTED_NAMES


def _backwards(given):
    if isinstance(given, dict):
        return {key: _backwards(given[key]) for key in reversed(given)}
    return [_backwards(item) for item in given] if isinstance(given, list) else given


def test_the_digest_ignores_the_order_of_keys_and_nothing_else():
    document = starter(5)
    assert digest(_backwards(document)) == digest(document)
    assert digest(document | {"remarks": "x"}) != digest(document)
    assert digest({"a": 1.0}) == hashlib.sha256(b'{"a":1}').hexdigest()


@pytest.mark.parametrize("strings", [4, 5, 6])
def test_a_completed_document_parses_to_the_same_spec_and_completes_to_itself(strings):
    spec = parse(starter(strings))
    assert parse(complete(spec)) == spec
    assert complete(parse(complete(spec))) == complete(spec)


@settings(derandomize=True, max_examples=100, deadline=None)
@given(st.floats(400, 1200), st.floats(0, 24), st.lists(st.floats(0, 20), min_size=5, max_size=5))
def test_every_number_survives_completion_and_json(scale, fret, heights):
    document = starter(5)
    document["scale"] |= {"bass": scale, "perpendicular_fret": fret}
    document["action"]["h_saddle"] = heights
    spec = parse(document)
    assert (spec.scale.bass_mm, spec.scale.perpendicular_fret, list(spec.action.h_saddle_mm)) == (scale, fret, heights)
    assert parse(json.loads(canonical_bytes(complete(spec)))) == spec
