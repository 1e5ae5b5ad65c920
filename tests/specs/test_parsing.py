"""Every way a spec document can be wrong, each at its field; the ranges and the example are the public format's."""

import copy
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specs.document import BuildSpec
from specs.errors import Refused
from specs.parsing import parse, read_json
from specs.starters import starter

GONE = object()
EXAMPLE = {
    "format": 1, "hand": "right",
    "strings": {
        "tuning": ["B0", "E1", "A1", "D2", "G2"],
        "gauges": ["0.130 in", "0.100 in", "0.080 in", "0.065 in", "0.045 in"],
        "winding": "nickel-plated round", "cores": None, "unit_weights": None, "reference_pitch_hz": 440,
    },
    "scale": {"bass": "37 in", "treble": "34 in", "perpendicular_fret": 7},
    "nut": {"spread": "39 mm", "spacing": "equal-gaps", "kind": "cut", "forward": "0 mm"},
    "bridge": {"spread": "72 mm", "spacing": "equal-centres"},
    "fingerboard": {
        "frets": 24, "edge_margin_nut": "3 mm", "edge_margin_end": "4 mm", "overhang": "8 mm", "blank_width": "100 mm",
        "radius_nut": "14 in", "radius_end": "18 in", "wire_allowance": "2.5 mm",
    },
    "pickups": [
        {"name": "neck", "rows": [{"strings": [1, 2, 3, 4, 5], "offset": "0 mm"}], "fraction": 0.155,
         "angle": "aligned"},
        {"name": "bridge", "rows": [{"strings": [4, 5], "offset": "9 mm"}, {"strings": [1, 2, 3], "offset": "-9 mm"}],
         "fraction": 0.065, "angle": "best"},
    ],
    "action": {"h_nut": "0.3 mm", "h_saddle": ["3.7 mm", "3.4 mm", "3.2 mm", "3.0 mm", "2.8 mm"]},
}  # fmt: skip


def changed(path, value):
    """The example with one value set, or taken out."""
    document = copy.deepcopy(EXAMPLE)
    *parents, last = [int(part) if part.isdigit() else part for part in path.split(".")]
    inside = document
    for part in parents:
        inside = inside.setdefault(part, {}) if isinstance(inside, dict) else inside[part]
    if value is GONE:
        del inside[last]
    else:
        inside[last] = value
    return document


def refused_fields(document):
    with pytest.raises(Refused) as refused:
        parse(document)
    return [problem.field for problem in refused.value.problems]


BROKEN = [
    ("format", 2, ["format"]),
    ("format", GONE, ["format"]),
    ("format", "1", ["format"]),
    ("format", True, ["format"]),
    ("hand", "both", ["hand"]),
    ("hand", 1, ["hand"]),
    ("hand", None, ["hand"]),
    ("strings", GONE, ["strings"]),
    ("strings", [], ["strings"]),
    ("strings.tuning", GONE, ["strings.tuning"]),
    ("strings.tuning", "B0", ["strings.tuning"]),
    ("strings.tuning", ["E1", "A1"], ["strings.tuning"]),
    ("strings.tuning", ["E1"] * 13, ["strings.tuning"]),
    ("strings.tuning", ["E1", "A1", "D2", "G2"], ["strings.gauges"]),
    ("strings.tuning.2", "H1", ["strings.tuning.2"]),
    ("strings.tuning.2", "b0", ["strings.tuning.2"]),
    ("strings.tuning.2", "Bbb0", ["strings.tuning.2"]),
    ("strings.tuning.2", "B٠", ["strings.tuning.2"]),
    ("strings.tuning.2", 41.2, ["strings.tuning.2"]),
    ("strings.gauges", ["0.130 in"], ["strings.gauges"]),
    ("strings.gauges", ["0.130 in"] * 6, ["strings.gauges"]),
    ("strings.gauges", [1] * 10**5, ["strings.gauges"]),
    ("strings.gauges.2", "0.080", ["strings.gauges.2"]),
    ("strings.gauges.2", 0.08, ["strings.gauges.2"]),
    ("strings.gauges.2", "7 mm", ["strings.gauges.2"]),
    ("strings.gauges.2", None, ["strings.gauges.2"]),
    ("strings.winding", "wound", ["strings.winding"]),
    ("strings.cores", [1.0], ["strings.cores"]),
    ("strings.cores", [1.0, None, 0.01, None, "x"], ["strings.cores.2", "strings.cores.4"]),
    ("strings.unit_weights", [0.001] * 4, ["strings.unit_weights"]),
    ("strings.unit_weights", [0, 1e-3, 1, "1", 1e-3], [f"strings.unit_weights.{at}" for at in (0, 2, 3)]),
    ("strings.reference_pitch_hz", 379.9, ["strings.reference_pitch_hz"]),
    ("strings.reference_pitch_hz", None, ["strings.reference_pitch_hz"]),
    ("strings.tunning", [], ["strings.tunning"]),
    ("scale.bass", "399.9 mm", ["scale.bass"]),
    ("scale.bass", "37", ["scale.bass"]),
    ("scale.treble", "-34 in", ["scale.treble"]),
    ("scale.treble", 1200.1, ["scale.treble"]),
    ("scale.perpendicular_fret", 24.5, ["scale.perpendicular_fret"]),
    ("scale.perpendicular_fret", -1, ["scale.perpendicular_fret"]),
    ("scale.perpendicular_fret", "7", ["scale.perpendicular_fret"]),
    ("scale.perpendicular_fret", float("nan"), ["scale.perpendicular_fret"]),
    ("nut.spread", "9.9 mm", ["nut.spread"]),
    ("nut.spacing", "equal", ["nut.spacing"]),
    ("nut.kind", "zero", ["nut.kind"]),
    ("nut.forward", "-1 mm", ["nut.forward"]),
    ("bridge.spread", 151, ["bridge.spread"]),
    ("bridge", None, ["bridge"]),
    ("fingerboard.frets", 0, ["fingerboard.frets"]),
    ("fingerboard.frets", 37, ["fingerboard.frets"]),
    ("fingerboard.frets", 23.5, ["fingerboard.frets"]),
    ("fingerboard.frets", "24", ["fingerboard.frets"]),
    ("fingerboard.frets", 6, ["scale.perpendicular_fret"]),
    ("fingerboard.frets", 10**400, ["fingerboard.frets"]),
    ("fingerboard.edge_margin_end", "51 mm", ["fingerboard.edge_margin_end"]),
    ("fingerboard.blank_width", 9, ["fingerboard.blank_width"]),
    ("fingerboard.radius_nut", 99, ["fingerboard.radius_nut"]),
    ("fingerboard.wire_allowance", float("inf"), ["fingerboard.wire_allowance"]),
    ("pickups", None, ["pickups"]),
    ("pickups", {}, ["pickups"]),
    ("pickups.0", 1, ["pickups.0"]),
    ("pickups.0", {}, [f"pickups.0.{key}" for key in ("name", "rows", "fraction", "angle")]),
    ("pickups.0.name", " ", ["pickups.0.name"]),
    ("pickups.0.name", "\ud800", ["pickups.0.name"]),
    ("pickups.0.fraction", 0, ["pickups.0.fraction"]),
    ("pickups.0.fraction", 1, ["pickups.0.fraction"]),
    ("pickups.0.angle", "alinged", ["pickups.0.angle"]),
    ("pickups.0.angle", 80.1, ["pickups.0.angle"]),
    ("pickups.0.rows", [], ["pickups.0.rows"]),
    ("pickups.0.rows.0.strings", [], ["pickups.0.rows.0.strings"]),
    ("pickups.0.rows.0.strings", [1, 2, 3, 4], ["pickups.0.rows"]),
    ("pickups.0.rows.0.strings", [1, 2, 3, 4, 5, 5], ["pickups.0.rows"]),
    ("pickups.0.rows.0.strings", [1, 2, 3, 4, 5, 6], ["pickups.0.rows.0.strings.5"]),
    ("pickups.0.rows.0.strings", [0, 1, 2, 3, 4, 5], ["pickups.0.rows.0.strings.0"]),
    ("pickups.1.rows.1.strings.2", 4, ["pickups.1.rows"]),
    ("pickups.1.rows.0.strings.1", 12, ["pickups.1.rows.0.strings.1"]),
    ("pickups.1.rows.0.strings.1", True, ["pickups.1.rows.0.strings.1"]),
    ("pickups.1.rows.0.offset", "61 mm", ["pickups.1.rows.0.offset"]),
    ("action", None, ["action"]),
    ("action.h_nut", "20.1 mm", ["action.h_nut"]),
    ("action.h_saddle", [3, 3], ["action.h_saddle"]),
    ("action.h_saddle", "3", ["action.h_saddle"]),
    ("action.h_saddle.4", -1, ["action.h_saddle.4"]),
    ("neck.ears", "false", ["neck.ears"]),
    ("neck.ears", 0, ["neck.ears"]),
    ("body.wood", "adler", ["body.wood"]),
    ("body.pieces", 4, ["body.pieces"]),
    ("remarks", 7, ["remarks"]),
    ("remarks", "x" * 1001, ["remarks"]),
    ("remarks", "a\x00b", ["remarks"]),
    ("colour", "red", ["colour"]),
]  # fmt: skip


@pytest.mark.parametrize(("path", "value", "fields"), BROKEN, ids=[f"{at}-{row[0]}" for at, row in enumerate(BROKEN)])
def test_a_broken_document_is_refused_at_its_fields(path, value, fields):
    assert refused_fields(changed(path, value)) == fields


def test_the_example_of_the_format_is_read():
    spec = parse(read_json(json.dumps(EXAMPLE)))
    assert spec.strings.gauges_mm == (3.302, 2.54, 2.032, 1.651, 1.143)
    assert (spec.scale.bass_mm, spec.scale.treble_mm, spec.scale.perpendicular_fret) == (939.8, 863.6, 7.0)
    assert (spec.fingerboard.radius_nut_mm, spec.fingerboard.radius_end_mm) == (355.6, 457.2)
    assert [row.offset_mm for row in spec.pickups[1].rows] == [9.0, -9.0]
    assert spec.action.h_saddle_mm == (3.7, 3.4, 3.2, 3.0, 2.8)


def test_a_document_of_required_keys_only_is_complete():
    spec = parse(only_required())
    assert (spec.strings.cores_mm, spec.strings.unit_weights_lb_in) == (None, None)
    assert spec.strings.reference_pitch_hz == 440
    assert (spec.nut.kind, spec.nut.forward_mm, spec.pickups) == ("cut", 0, ())
    board = spec.fingerboard
    assert (board.overhang_mm, board.blank_width_mm, board.wire_allowance_mm) == (8, 100, 2.5)
    assert (board.radius_nut_mm, board.radius_end_mm) == (None, None)
    assert (spec.action.h_nut_mm, spec.action.h_saddle_mm) == (0.3, (3.2,) * 5)
    assert (spec.neck.construction, spec.neck.headstock, spec.neck.stiffening_bars) == ("bolt-on", "angled", True)
    assert (spec.body.wood, spec.body.pieces, spec.body.chambering, spec.body.top) == ("alder", 2, "solid", "none")
    finish = spec.finish
    assert (finish.kind, finish.sheen, finish.colour, finish.pores) == ("oil", "satin", "natural", "open")
    assert (board.frets_kind, board.binding, board.inlay, board.finish) == ("fretted", "none", "none", "bare")


def only_required():
    """The example without anything that has a default."""
    wanted = {
        "strings": ("tuning", "gauges", "winding"), "scale": ("bass", "treble", "perpendicular_fret"),
        "nut": ("spread", "spacing"), "bridge": ("spread", "spacing"),
        "fingerboard": ("frets", "edge_margin_nut", "edge_margin_end"),
    }  # fmt: skip
    sections = {name: {key: EXAMPLE[name][key] for key in keys} for name, keys in wanted.items()}
    return {"format": 1, "hand": "right"} | sections


def test_defaults_follow_the_number_of_strings():
    layouts = {count: parse(starter(count)).neck.tuner_layout for count in (4, 5, 6)}
    assert layouts == {4: "2+2", 5: "3+2", 6: "3+3"}
    twelve = only_required()
    twelve["strings"] |= {"tuning": ["E1"] * 12, "gauges": [1] * 12}
    assert (parse(twelve).neck.tuner_layout, len(parse(twelve).action.h_saddle_mm)) == ("3+3", 12)


def test_one_height_at_the_saddle_stands_for_every_string():
    assert parse(changed("action.h_saddle", "3 mm")).action.h_saddle_mm == (3.0,) * 5


def test_a_whole_number_may_be_written_with_a_decimal_point():
    assert repr(parse(changed("fingerboard.frets", 24.0)).fingerboard.frets) == "24"


def test_every_problem_is_told_at_once_in_document_order():
    document = changed("strings.gauges.4", "wide") | {"zz": 1, "hand": "left-handed", "neck": {"wood": "maple"}}
    document["scale"] = {"treble": "34", "bass": "10 in"}
    expected = "hand strings.gauges.4 scale.bass scale.treble scale.perpendicular_fret neck.wood zz"
    assert refused_fields(document) == expected.split()


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        ("hand", "Right", 'did you mean "right"?'),
        ("body.wood", "adler", 'did you mean "alder"?'),
        ("strings.tunning", [], 'did you mean "tuning"?'),
        ("pickups.0.angle", "alinged", 'did you mean "aligned"?'),
        ("nut.kind", "zero", 'one of "cut", "zero fret"'),
        ("fingerboard.frets", "24", "without quotation marks"),
        ("strings.gauges.2", "0.080", 'add a unit: "0.080 mm" or "0.080 in"'),
        ("scale.perpendicular_fret", 25, "from 0 to 24"),
        ("pickups.0.rows.0.strings", [1, 2, 3, 4], "in no row: 5"),
        ("fingerboard.radius_end", 5, "or null (flat)"),
    ],
)
def test_a_message_says_the_remedy(path, value, said):
    with pytest.raises(Refused) as refused:
        parse(changed(path, value))
    assert said in refused.value.problems[0].message


@pytest.mark.parametrize("given", [None, [], "text", 1, True, [EXAMPLE]])
def test_what_is_no_object_is_refused_whole(given):
    assert refused_fields(given) == ["document"]


JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8) | st.just("34 in"),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=8,
)
PATHS = [row[0] for row in BROKEN if not row[0].endswith(("tunning", "colour"))]


@settings(derandomize=True, max_examples=400, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(PATHS), JSON_VALUES), min_size=1, max_size=3))
def test_any_json_value_anywhere_is_read_or_refused(changes):
    document = copy.deepcopy(EXAMPLE)
    for path, value in changes:
        *parents, last = path.split(".")
        inside = document
        for part in parents:
            inside = inside.get(part) if isinstance(inside, dict) else None
        if isinstance(inside, dict):
            inside[last] = value
    outcome = spec_or_refusal(document)
    assert isinstance(outcome, BuildSpec) or all(problem.field and problem.message for problem in outcome.problems)


def spec_or_refusal(document):
    """What parsing ends in, whichever it is."""
    try:
        return parse(document)
    except Refused as refused:
        return refused
