"""Rules of bridge, metal and strings. Common practice, no source."""

import pytest

from tests.specs.rules.pairs import Pair, assert_pair, names

FLAT = {"strings.winding": "flat", "strings.unit_weights": [0.004, 0.003, 0.002, 0.001, 0.0006],
        "bridge.piezo": True}  # fmt: skip
THROUGH = {"bridge.kind": "single units through body"}
REST = [".105 in", ".085 in", ".065 in", ".045 in"]
GOLD = {"hardware.colour": "gold", "hardware.bridge_colour": "gold"}
NO_TRAVEL = {"bridge.height_travel": False}
CLOSE = {"nut.spread": 11, "nut.spacing": "equal-centres", "scale.bass": "34.2 in"}
CHROME = {"hardware.colour": "chrome", "hardware.bridge_colour": "chrome"}


def lowest(gauge, **changes):
    return {"strings.gauges": [gauge, *REST], **{key.replace("__", "."): value for key, value in changes.items()}}


PAIRS = (
    Pair("through-body-adds-length", "warning", THROUGH, 939.8, {**THROUGH, "scale.bass": "35 in"}),
    Pair("single-units-need-common-ground", "note", {}, "Single units", {"bridge.kind": "one-piece plate"}),
    Pair("one-metal-colour", "warning", {**CHROME, "hardware.colour": "gold"}, "gold and chrome", CHROME),
    Pair("plating-wears", "warning", GOLD, "Gold", CHROME),
    Pair("gauge-over-tuner-slot", "error", lowest(".136 in"), 3.4544, lowest(".135 in")),
    Pair("gauge-over-anchor", "error", lowest(3.70, strings__unit_weights=[0.005, None, None, None, None]), 3.70,
         lowest(".145 in")),
    Pair("set-needs-its-own-nut", "warning", {}, 0.127, lowest(".130 in")),
    Pair("flat-or-tape-and-pickups", "warning", FLAT, "Flat", {"bridge.piezo": True}),
    Pair("scale-too-long-for-winding", "error", {"strings.winding_length": 979}, 939.8 + 30 + 10,
         {"strings.winding_length": 980}),
    Pair("radius-without-saddle-travel", "warning", {**NO_TRAVEL, "fingerboard.radius_nut": "11.9 in"}, 302.26,
         {**NO_TRAVEL, "fingerboard.radius_nut": "12 in"}),
    Pair("strings-overlap-at-bridge", "error", {**CLOSE, "bridge.spread": 11}, 11 / 4 - 0.115 * 25.4,
         {**CLOSE, "bridge.spread": 12}),
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=names(PAIRS))
def test_fires_and_does_not(pair):
    assert_pair(pair)


def test_a_wide_slot_lets_a_thick_string_pass_the_tuner():
    wide = lowest(".140 in", hardware__wide_tuner_slot=True)
    assert_pair(Pair("gauge-over-tuner-slot", "error", lowest(".140 in"), 3.556, wide))


def test_four_strings_from_low_b_need_their_own_nut():
    low = {"strings.tuning": ["B0", "E1", "A1", "D2"], "strings.gauges": [".130 in", *REST[:3]], "nut.spread": 33,
           "bridge.spread": 57, "scale.bass": "36 in"}  # fmt: skip
    high = {**low, "strings.tuning": ["E1", "A1", "D2", "G2"], "strings.gauges": REST}
    assert_pair(Pair("set-needs-its-own-nut", "warning", low, "no stock set for this tuning", high))
