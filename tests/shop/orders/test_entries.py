"""Documents typed into the form's fields and read back."""

from __future__ import annotations

import pytest

from shop.orders.entries import as_typed, document_of, fields_of, labelled, worded
from shop.orders.resizing import with_another_pickup, with_another_row, with_strings, without_pickup, without_row
from specs.canonical import complete
from specs.errors import Refused
from specs.parsing import parse
from specs.starters import starter

STARTERS = [(strings, made) for strings in (4, 5, 6) for made in ("bolt-on", "neck-through")]


@pytest.mark.parametrize(("strings", "made"), STARTERS)
def test_a_starter_comes_back_from_its_fields_identical(strings, made):
    document = starter(strings, made)
    assert complete(parse(document_of(fields_of(document), {}))) == document


@pytest.mark.parametrize(("strings", "made"), STARTERS)
def test_what_was_typed_comes_back_letter_for_letter(strings, made):
    typed = as_typed(starter(strings, made))
    assert document_of(fields_of(typed), {}) == typed


def test_lengths_are_written_as_the_trade_writes_them():
    fields = fields_of(starter(5))
    names = ("scale.bass", "strings.gauges.0", "nut.spread", "fingerboard.radius_nut", "scale.perpendicular_fret")
    assert [fields[name] for name in names] == ["37 in", ".130 in", "38 mm", "16 in", "7"]


@pytest.mark.parametrize(
    ("name", "text", "problem"),
    [
        ("scale.bass", "37", "scale.bass: add a unit"),
        ("scale.bass", "", "scale.bass: write a number and a unit"),
        ("fingerboard.frets", "many", 'fingerboard.frets: "many" is text'),
        ("fingerboard.frets", "9" * 300, "fingerboard.frets:"),
        ("strings.reference_pitch_hz", "1e999", "strings.reference_pitch_hz:"),
        ("pickups.0.angle", "bset", "pickups.0.angle:"),
        ("pickups.0.rows.0.strings", "1 2 x 4 5", "pickups.0.rows.0.strings.2:"),
        ("hand", "both", "hand:"),
    ],
)
def test_a_wrong_text_is_kept_and_the_parser_says_why(name, text, problem):
    document = document_of({**fields_of(starter(5)), name: text}, {})
    again = document_of(fields_of(document), {})
    assert again == document
    with pytest.raises(Refused) as refused:
        parse(document)
    assert [str(found) for found in refused.value.problems if str(found).startswith(problem)]


@pytest.mark.parametrize(
    ("name", "text", "section", "key", "value"),
    [
        ("scale.perpendicular_fret", "7.5", "scale", "perpendicular_fret", 7.5),
        ("fingerboard.frets", "22", "fingerboard", "frets", 22),
        ("fingerboard.radius_nut", "", "fingerboard", "radius_nut", None),
        ("neck.ears", "yes", "neck", "ears", True),
        ("case.engraving", " for M. ", "case", "engraving", " for M. "),
        ("body.weight_ceiling_kg", "", "body", "weight_ceiling_kg", None),
    ],
)
def test_a_text_becomes_what_the_document_holds(name, text, section, key, value):
    assert document_of({**fields_of(starter(5)), name: text}, {})[section][key] == value


def test_a_field_that_was_not_sent_keeps_what_was_kept():
    kept = as_typed(starter(5))
    assert document_of({"scale.bass": "36 in"}, kept) == {**kept, "scale": {**kept["scale"], "bass": "36 in"}}


def test_weighed_strings_may_have_holes_and_are_null_when_empty():
    fields = {**fields_of(starter(4)), "strings.unit_weights.1": "0.00055"}
    assert document_of(fields, {})["strings"]["unit_weights"] == [None, 0.00055, None, None]
    assert document_of(fields_of(starter(4)), {})["strings"]["unit_weights"] is None


def test_a_null_character_never_reaches_the_database():
    assert document_of({**fields_of(starter(4)), "remarks": "a\x00b"}, {})["remarks"] == "a�b"


@pytest.mark.parametrize(
    ("count", "tuning"),
    [
        (4, ["E1", "A1", "D2", "G2"]),
        (6, ["B0", "E1", "A1", "D2", "G2", "C3"]),
        (3, ["A1", "D2", "G2"]),
        (7, ["", "", "B0", "E1", "A1", "D2", "G2"]),
    ],
)
def test_another_number_of_strings_keeps_those_that_stay(count, tuning):
    document = as_typed(starter(5))
    document["strings"]["gauges"][2] = ".088 in"
    changed = with_strings(document, count)
    assert changed["strings"]["tuning"] == tuning
    assert changed["strings"]["gauges"][tuning.index("A1")] == ".088 in"
    assert {tuple(row["strings"]) for pickup in changed["pickups"] for row in pickup["rows"]} == {
        tuple(range(1, count + 1))
    }


@pytest.mark.parametrize("count", [4, 6])
def test_the_usual_numbers_of_strings_need_nothing_more(count):
    changed = with_strings(as_typed(starter(5)), count)
    assert parse(changed).strings.count == count
    assert changed["neck"]["tuner_layout"] == {4: "2+2", 6: "3+3"}[count]


@pytest.mark.parametrize("count", [0, 2, 13, 5])
def test_no_other_number_changes_anything(count):
    assert with_strings(as_typed(starter(5)), count) == as_typed(starter(5))


def test_pickups_and_their_rows_come_and_go():
    document = as_typed(starter(5))
    three = with_another_pickup(document)
    assert [len(parse(found).pickups) for found in (document, three, with_another_pickup(three))] == [2, 3, 3]
    assert without_pickup(three, 2) == document
    assert without_row(with_another_row(document, 0), 0, 1) == document


@pytest.mark.parametrize(
    ("path", "value", "words", "label"),
    [
        ("scale.bass", 939.8, "37 in", "Bass scale"),
        ("nut.spread", 38.0, "38 mm", "Spread at nut"),
        ("fingerboard.radius_nut", None, "–", "Radius at nut"),
        ("neck.ears", True, "yes", "Headstock ears"),
        ("strings.gauges.1", 2.667, ".105 in", "Gauges"),
        ("strings.tuning", ["B0", "E1"], "B0, E1", "Tuning"),
        ("pickups.0.rows.0.strings", [1, 2], "1, 2", "Strings sensed"),
        ("pickups.2", {"name": "middle", "rows": []}, "middle", "Pickups"),
        ("nothing.here", 1, "1", "nothing.here"),
    ],
)
def test_a_value_is_worded_as_its_field_shows_it(path, value, words, label):
    assert (worded(path, value), labelled(path)) == (words, label)
