"""derive() against a 40-digit computation written separately, and against what must hold for any instrument."""

import math
from dataclasses import astuple, replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specs.answer import answer
from specs.derive import derive
from specs.derived import Derived
from specs.errors import Refused
from specs.parsing import parse
from specs.tables import load_tables
from tests.reference.forty_digits import instrument, matches
from tests.specs.documents import FOUR_STRING, SIX_STRING, derived, document

bounded = settings(derandomize=True, database=None, deadline=None, max_examples=60)
wide = settings(bounded, max_examples=150)

INSTRUMENTS = {
    "five strings": {},
    "four strings": FOUR_STRING,
    "six strings": SIX_STRING,
    "fractional fret": {"scale.perpendicular_fret": 7.5},
    "nearly whole fret": {"scale.perpendicular_fret": 7.0000001},
    "square nut": {"scale.perpendicular_fret": 0},
    "square last fret": {"scale.perpendicular_fret": 24},
    "left-handed": {"hand": "left"},
    "gaps at both ends": {"bridge.spacing": "equal-gaps"},
    "centres at both ends": {"nut.spacing": "equal-centres"},
    "another pitch": {"strings.reference_pitch_hz": 432},
    "one scale": {"scale.bass": "34 in"},
    "fan the other way": {"scale.bass": "33 in", "scale.treble": "35 in"},
    "tapering to the bridge": {"nut.spread": "60 mm", "bridge.spread": "40 mm"},
}


def check(changes: dict[str, Any]) -> Derived:
    spec = parse(document(changes))
    tables = load_tables()
    computed = derive(spec, tables)
    weights = [tables.strings.unit_weight(gauge, spec.strings.winding).lb_in for gauge in spec.strings.gauges_mm]
    exact = instrument(spec, weights)
    public = answer(computed, ())
    worst = exact["board"].pop("worst_cents")
    assert matches(public, exact)
    assert matches(public["board"]["worst_error"]["cents"], worst)
    return computed


@pytest.mark.parametrize("changes", INSTRUMENTS.values(), ids=INSTRUMENTS)
def test_forty_digits(changes):
    check(changes)


catalogue_gauges = st.sampled_from([f"{row.gauge_in} in" for row in load_tables().strings.of("nickel-plated round")])


@st.composite
def ordinary(draw: st.DrawFn) -> dict[str, Any]:
    """Instruments a shop could be asked for, and then some."""
    count = draw(st.integers(4, 6))
    return {
        "hand": draw(st.sampled_from(["right", "left"])),
        "strings.tuning": draw(st.lists(st.sampled_from(["B0", "F#1", "Bb1", "C3"]), min_size=count, max_size=count)),
        "strings.gauges": draw(st.lists(catalogue_gauges, min_size=count, max_size=count)),
        "scale.bass": draw(st.floats(800, 1000)),
        "scale.treble": draw(st.floats(750, 950)),
        "scale.perpendicular_fret": draw(st.floats(0, 20)),
        "nut.spread": draw(st.floats(30, 60)),
        "nut.spacing": draw(st.sampled_from(["equal-centres", "equal-gaps"])),
        "bridge.spread": draw(st.floats(50, 95)),
        "bridge.spacing": draw(st.sampled_from(["equal-centres", "equal-gaps"])),
        "fingerboard.frets": draw(st.integers(20, 26)),
        "fingerboard.edge_margin_nut": draw(st.floats(2, 6)),
        "fingerboard.edge_margin_end": draw(st.floats(2, 6)),
    }


@bounded
@given(ordinary())
def test_forty_digits_on_any_ordinary_instrument(changes):
    check(changes)


@st.composite
def legal(draw: st.DrawFn) -> dict[str, Any]:
    """Anything the format's ranges admit, however odd, with a liking for the ends of the ranges."""

    def within(low: float, high: float) -> float:
        return draw(st.one_of(st.sampled_from([low, high]), st.floats(low, high)))

    count = draw(st.integers(3, 12))
    frets = draw(st.integers(1, 36))
    spacings = st.sampled_from(["equal-centres", "equal-gaps"])
    radii = st.one_of(st.none(), st.floats(100, 2000))
    return {
        "hand": draw(st.sampled_from(["right", "left"])),
        "strings.tuning": ["E1"] * count,
        "strings.gauges": [within(0.1, 6) for _ in range(count)],
        "strings.unit_weights": [within(1e-7, 0.1) for _ in range(count)],
        "scale.bass": within(400, 1200),
        "scale.treble": within(400, 1200),
        "scale.perpendicular_fret": within(0, frets),
        "nut.spread": within(10, 150),
        "nut.spacing": draw(spacings),
        "bridge.spread": within(10, 150),
        "bridge.spacing": draw(spacings),
        "fingerboard.frets": frets,
        "fingerboard.edge_margin_nut": within(0, 50),
        "fingerboard.edge_margin_end": within(0, 50),
        "fingerboard.overhang": within(0, 50),
        "fingerboard.radius_nut": draw(radii),
        "fingerboard.radius_end": draw(radii),
    }


def numbers(value: Any) -> list[float]:
    if isinstance(value, float):
        return [value]
    if isinstance(value, dict):
        value = list(value.values())
    return [number for item in value for number in numbers(item)] if isinstance(value, list | tuple) else []


FIELDS = {
    "nut.spread", "bridge.spread", "scale.perpendicular_fret", "fingerboard.overhang",
    "fingerboard.edge_margin_nut", "fingerboard.edge_margin_end", "fingerboard.radius_nut", "fingerboard.radius_end",
    "action.h_saddle", "nut.forward",
}  # fmt: skip


def computed_or_fields(changes: dict[str, Any]) -> Derived | set[str]:
    try:
        return derived(changes)
    except Refused as refused:
        return {problem.field for problem in refused.problems}


@wide
@given(legal())
def test_any_legal_document_is_computed_or_refused_at_a_field(changes):
    computed = computed_or_fields(changes)
    if isinstance(computed, set):
        assert computed <= FIELDS
        return
    assert all(map(math.isfinite, numbers((*map(astuple, computed.frets), astuple(computed.board)))))
    for string in range(len(computed.strings)):
        along = [fret.from_nut_mm[string] for fret in computed.frets]
        assert along == sorted(set(along))
        assert along[-1] < computed.strings[string].scale_mm


def test_a_left_handed_instrument_is_the_mirror_image():
    right, left = (answer(derived({"hand": hand}), ()) for hand in ("right", "left"))
    for string in left["strings"]:
        string["nut"][1], string["bridge"][1] = -string["nut"][1], -string["bridge"][1]
    for fret in left["frets"]:
        fret["bass_edge"][1], fret["treble_edge"][1] = -fret["bass_edge"][1], -fret["treble_edge"][1]
    assert left == right


def test_bass_side_stays_the_bass_side_of_a_left_handed_board():
    right, left = derived(), derived({"hand": "left"})
    assert right.frets[0].bass_edge[1] < 0 < left.frets[0].bass_edge[1]
    assert left.board.outline == tuple((x, -y) for x, y in right.board.outline)
    assert left.nut_angle_deg == right.nut_angle_deg
    assert left.bridge_angle_deg == right.bridge_angle_deg < 0


LENGTHS = {
    "scale.bass": 939.8, "scale.treble": 863.6, "nut.spread": 39, "bridge.spread": 72, "fingerboard.edge_margin_nut": 3,
    "fingerboard.edge_margin_end": 4, "fingerboard.overhang": 8, "fingerboard.blank_width": 100,
    "fingerboard.wire_allowance": 2.5, "fingerboard.radius_nut": 355.6, "fingerboard.radius_end": 457.2,
    "strings.gauges": [3.302, 2.54, 2.032, 1.651, 1.143],
}  # fmt: skip


def scaled(factor: float) -> dict[str, Any]:
    lengths = {
        path: [factor * item for item in length] if isinstance(length, list) else factor * length
        for path, length in LENGTHS.items()
    }
    return lengths | {"strings.unit_weights": [0.003, 0.0018, 0.0012, 0.0008, 0.0004]}


@bounded
@given(st.floats(0.5, 1.2))
def test_scaling_every_length_scales_lengths_and_keeps_angles_and_cents(factor):
    plain, grown = derived(scaled(1)), derived(scaled(factor))
    for one, other in zip(plain.frets, grown.frets, strict=True):
        assert other.angle_deg == pytest.approx(one.angle_deg, abs=1e-9)
        assert other.error_cents == pytest.approx(one.error_cents, abs=1e-9)
        assert other.slot_mm == pytest.approx(factor * one.slot_mm, rel=1e-12)
        assert other.edge_from_nut_mm == pytest.approx([factor * at for at in one.edge_from_nut_mm], rel=1e-9)
    assert grown.board.hump_mm == pytest.approx(factor * plain.board.hump_mm, rel=1e-6)
    assert grown.tension.total_n == pytest.approx(factor**2 * plain.tension.total_n, rel=1e-12)


def test_every_unknown_string_is_refused_beside_what_cannot_be_drawn():
    spec = parse(document({"strings.winding": "flat", "nut.spread": 10, "strings.gauges": [6, 6, 6, 6, 6]}))
    with pytest.raises(Refused) as refused:
        derive(spec, load_tables())
    fields = [problem.field for problem in refused.value.problems]
    assert fields == [*(f"strings.gauges.{index}" for index in range(5)), "nut.spread"]


def test_a_weighed_string_needs_no_row_and_is_no_estimate():
    weighed = derived({"strings.winding": "flat", "strings.unit_weights": [0.003, 0.002, 0.0012, 0.0008, 0.0004]})
    assert weighed.strings[0].unit_mass_kg_m == pytest.approx(0.003 * 0.45359237 / 0.0254, rel=1e-15)
    assert not any(string.unit_mass_estimated for string in weighed.strings)


def test_only_the_gauge_between_rows_is_an_estimate():
    strings = derived({"strings.gauges": ["0.130 in", "0.102 in", "0.080 in", "0.065 in", "0.045 in"]}).strings
    assert [string.unit_mass_estimated for string in strings] == [False, True, False, False, False]


REFUSED = {
    "strings touch at the nut": (
        {"nut.spread": 10, "strings.gauges": [3, 3, 3, 3, 2.9]}, "nut.spread", "strings-touch",
    ),
    "strings touch at the bridge": (
        {"bridge.spread": 10, "bridge.spacing": "equal-gaps", "strings.gauges": [3, 3, 3, 3, 2.9]},
        "bridge.spread", "strings-touch",
    ),
    "fan along the strings": (
        {"scale.bass": 1200, "scale.treble": 400, "nut.spread": 10, "bridge.spread": 150},
        "scale.perpendicular_fret", "fan-too-steep",
    ),
    "nut along the edge": (
        {"scale.bass": 1200, "scale.treble": 400, "fingerboard.edge_margin_end": 50, "fingerboard.edge_margin_nut": 0,
         "scale.perpendicular_fret": 24, "strings.gauges": [1, 1, 1, 1, 1]},
        "scale.perpendicular_fret", "fret-misses-board",
    ),
    "edges cross at the end": (
        {"fingerboard.frets": 1, "scale.perpendicular_fret": 0, "fingerboard.edge_margin_nut": 50,
         "fingerboard.edge_margin_end": 0, "fingerboard.overhang": 50},
        "fingerboard.overhang", "edges-cross",
    ),
    "frets cross": (
        {"scale.bass": 1200, "scale.treble": 700, "fingerboard.edge_margin_nut": 50, "fingerboard.edge_margin_end": 50},
        "fingerboard.edge_margin_nut", "frets-cross",
    ),
    "board reaches the bridge": (
        {"fingerboard.frets": 36, "fingerboard.overhang": 50, "scale.bass": 400, "scale.treble": 400},
        "fingerboard.overhang", "reaches-bridge",
    ),
    "radius under half the width": (
        {"nut.spread": 150, "bridge.spread": 150, "fingerboard.edge_margin_end": 50, "fingerboard.radius_end": 100},
        "fingerboard.radius_end", "radius-too-small",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("changes", "field", "code"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_drawn_is_refused_at_its_nearest_field(changes, field, code):
    weights = {"strings.unit_weights": [0.001] * 5}
    with pytest.raises(Refused) as refused:
        derived(weights | changes)
    assert [(problem.field, problem.code) for problem in refused.value.problems] == [(field, code)]


def test_a_string_shorter_than_its_drift_is_refused():
    """No legal document gets there: the least scale is longer than the widest drift."""
    spec = parse(document({"bridge.spread": 150}))
    stub = replace(spec, scale=replace(spec.scale, bass_mm=55.0))
    with pytest.raises(Refused, match=r"scale\.bass: the string is shorter"):
        derive(stub, load_tables())
