"""JSON text that must not get in: RFC 8259 grammar, RFC 7493 (no repeated names, no lone surrogates)."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specs.errors import Refused
from specs.parsing import read_json


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ('{"a": 1, "a": 1}', ["a"]),
        ('{"strings": {"winding": "flat", "winding": "tape"}}', ["strings.winding"]),
        ('{"pickups": [{}, {"rows": [{"offset": 1, "offset": 2}]}]}', ["pickups.1.rows.0.offset"]),
        ('{"a": 1, "a": 2, "b": NaN}', ["a", "b"]),
        ('{"a": [1, Infinity, -Infinity]}', ["a.1", "a.2"]),
        ('{"scale": {"bass": 1e999}}', ["scale.bass"]),
        ('{"a": ' + "9" * 5000 + "}", ["a"]),
        (r'{"name": "\ud800"}', ["name"]),
        (r'{"\udfff": 1}', [r"\udfff"]),
        ('{"a": ' * 100 + "1" + "}" * 100, ["document"]),
        ("[" * 100000, ["document"]),
        ("[]", ["document"]),
        ("1", ["document"]),
        ("null", ["document"]),
        ("", ["document"]),
        ("{", ["document"]),
        ("{} {}", ["document"]),
        ('{"a": 1,}', ["document"]),
        ("{'a': 1}", ["document"]),
        ('{"a": 01}', ["document"]),
        ('{"a": ٣}', ["document"]),
        ('{"a": "\t"}', ["document"]),
        (b'{"a": "\xff"}', ["document"]),
        ('{"a": 1}'.encode("utf-16"), ["document"]),
    ],
    ids=range(24),
)
def test_the_text_is_refused_at_its_fields(text, fields):
    with pytest.raises(Refused) as refused:
        read_json(text)
    assert [problem.field for problem in refused.value.problems] == fields


def test_a_field_never_breaks_the_line_it_is_told_on():
    with pytest.raises(Refused) as refused:
        read_json('{"a\\nb": NaN}')
    assert str(refused.value.problems[0]).startswith(r"a\nb: NaN is no JSON number")


def test_good_text_is_read_whole_from_text_or_bytes():
    text = '{"a": [1, 2.5, -0, 1e3, "B\\u266d \\ud83d\\ude00 [[[[", true, null], "b": {}}'
    read = {"a": [1, 2.5, 0, 1000.0, "B♭ 😀 [[[[", True, None], "b": {}}
    assert read_json(text) == read_json(text.encode()) == read_json("\ufeff" + text) == read


@settings(derandomize=True, max_examples=300, deadline=None)
@given(st.binary(max_size=40) | st.text(alphabet='{}[]":,\\ue01-+.aN\ud800', max_size=40))
def test_any_text_is_an_object_or_refused(text):
    outcome = object_or_refusal(text)
    assert isinstance(outcome, dict) or outcome.problems


def object_or_refusal(text):
    """What reading ends in, whichever it is."""
    try:
        return read_json(text)
    except Refused as refused:
        return refused
