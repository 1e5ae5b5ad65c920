"""Setback, window and residuals against 40 digits, a root finder of SciPy, and what the trade sees at a bench."""

from dataclasses import replace
from math import inf, log2
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from specs.acoustics.sharpening import Heights, sharpening_cents
from specs.acoustics.stiffness import Core, StiffString
from specs.derive import derive
from specs.errors import Refused
from specs.geometry.saddles import FrettedString, Saddle, saddle, saddles, shop_setback_mm
from specs.geometry.strings import layout
from specs.parsing import parse
from specs.tables import load_tables
from tests.reference import forty_digits_sound
from tests.reference.forty_digits import matches
from tests.specs.documents import FOUR_STRING, SIX_STRING, document

bounded = settings(derandomize=True, database=None, deadline=None, max_examples=40)


def saddles_of(changes: dict[str, Any]) -> tuple[Saddle, ...]:
    spec = parse(document(changes))
    computed = derive(spec, load_tables())
    return saddles(spec, layout(spec), [string.tension_n for string in computed.strings], computed.frets)


def check(changes: dict[str, Any]) -> None:
    spec, catalogue = parse(document(changes)), load_tables().strings
    for index, found in enumerate(saddles_of(changes)):
        weight = catalogue.unit_weight(spec.strings.gauges_mm[index], spec.strings.winding).lb_in
        exact = forty_digits_sound.saddle(spec, weight, index)
        computed = {key: getattr(found, key) for key in exact}
        assert matches(computed["inharmonicity"], exact["inharmonicity"], absolute=0)
        assert matches(computed, exact)


INSTRUMENTS = {
    "five strings": {},
    "four strings": FOUR_STRING,
    "six strings": SIX_STRING,
    "left-handed": {"hand": "left"},
    "zero fret": {"nut.kind": "zero fret"},
    "nut moved forward": {"nut.forward": "0.6 mm"},
    "under an octave": {"fingerboard.frets": 9},
    "flat over the frets": {"action.h_nut": 0, "action.h_saddle": 0},
    "heights by string": {"action.h_saddle": [3.7, 3.4, 3.2, 3.0, 2.8]},
    "some cores known": {"strings.cores": ["1.1 mm", None, "0.6 mm", None, "0.019 in"]},
    "plain": {"strings.winding": "plain", "strings.gauges": ["0.026 in"] * 5, "strings.tuning": ["E2"] * 5},
}


@pytest.mark.parametrize("changes", INSTRUMENTS.values(), ids=INSTRUMENTS)
def test_forty_digits(changes):
    check(changes)


@bounded
@given(st.floats(0, 2), st.floats(0, 8), st.floats(0, 3), st.integers(1, 30), st.floats(0.2, 1.5))
def test_forty_digits_at_any_height(h_nut, h_saddle, forward, frets, core):
    """Whatever lies within reach of a bench."""
    check(
        {
            "action.h_nut": h_nut,
            "action.h_saddle": h_saddle,
            "nut.forward": forward,
            "fingerboard.frets": frets,
            "scale.perpendicular_fret": 0,
            "strings.cores": [core] * 5,
        }
    )


LOW_B = FrettedString(
    StiffString(939.8, 150.0, Core(0.78)),
    Heights(0.3, 3.7),
    tuple(939.8 * (1 - 2 ** (-fret / 12)) for fret in range(25)),
    (0.0,) * 25,
)


def test_setback_is_the_root_of_the_octave():
    """SciPy's bracketing root finder on the definition as it is written."""
    string, octave_mm = LOW_B.string, LOW_B.from_nut_mm[12]
    sharp = sharpening_cents(string, LOW_B.heights, 12, octave_mm)

    def octave_cents(setback_mm):
        return 1200 * log2((939.8 + setback_mm) / (939.8 - octave_mm + setback_mm)) - 1200 + sharp

    assert LOW_B.setback_mm() == pytest.approx(brentq(octave_cents, -50, 50, xtol=1e-12), abs=1e-9)


def test_open_string_and_octave_are_true():
    found = saddle(LOW_B)
    assert found.residual_cents[0] == 0
    assert found.residual_cents[12] == pytest.approx(0, abs=1e-12)


def test_a_string_of_no_height_and_stiffness_needs_no_setback():
    limp = replace(LOW_B, string=StiffString(939.8, 150.0, Core(1e-9)), heights=Heights(0, 0))
    assert limp.setback_mm() == pytest.approx(0, abs=1e-12)


def test_lowest_string_is_set_back_most():
    """Common practice, no source: the lowest string's saddle stands farthest back, its window reaches 4 to 8 mm."""
    found = saddles_of({"bridge.spacing": "equal-gaps", "nut.spacing": "equal-gaps"})
    assert found[0].setback_mm == max(each.setback_mm for each in found)
    assert 4 < found[0].window_mm[1] < 10


def test_window_leaves_room_before_and_behind():
    found = saddle(LOW_B)
    assert found.window_mm[0] == -1
    assert found.window_mm[1] == pytest.approx(found.setback_mm + LOW_B.string.clamp_mm + 2)
    before = saddle(replace(LOW_B, forward_mm=5.0))
    assert before.window_mm[0] == before.setback_mm - 1 < -1


def test_only_an_estimated_core_has_a_range():
    estimated = saddle(replace(LOW_B, string=StiffString(939.8, 150.0, Core(0.78, estimated=True))))
    low, high = estimated.setback_range_mm
    assert low < estimated.setback_mm < high
    assert saddle(LOW_B).setback_range_mm is None


def test_a_range_may_have_no_end():
    nearly = replace(LOW_B, string=StiffString(939.8, 150.0, Core(0.78, estimated=True)), heights=Heights(0.3, 58.0))
    assert saddle(nearly).setback_range_mm[1] == inf


def test_a_zero_fret_counts_as_no_height_at_the_nut():
    low = saddles_of({"action.h_nut": 0})
    assert saddles_of({"nut.kind": "zero fret", "action.h_nut": "2 mm"}) == low


REFUSED = {
    "too high": (
        {"action.h_saddle": 20, "fingerboard.frets": 1, "scale.perpendicular_fret": 0, "strings.cores": [3.0] * 5},
        "action.h_saddle",
    ),
    "nut over the board": ({"nut.forward": 50, "fingerboard.frets": 1, "scale.perpendicular_fret": 0}, "nut.forward"),
}


@pytest.mark.parametrize(("changes", "field"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_sound_in_tune_is_refused_once_at_its_field(changes, field):
    with pytest.raises(Refused) as refused:
        saddles_of(changes)
    assert [problem.field for problem in refused.value.problems] == [field]


def test_the_shop_has_a_setback_of_its_own_after_five_setups():
    assert shop_setback_mm([2.0, 2.4, 2.1, 9.0]) is None
    assert shop_setback_mm([2.0, 2.4, 2.1, 9.0, 2.2]) == 2.2
