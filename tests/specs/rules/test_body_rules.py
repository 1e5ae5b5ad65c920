"""Rules of boards, tops and weight. Thresholds: common practice, no source; masses worked by hand below."""

import pytest

from tests.specs.rules.pairs import Pair, assert_pair, names

FLAT_TOP = {"body.top": "flat", "body.top_wood": "flame maple"}
NATURAL_EDGE = {**FLAT_TOP, "body.edge": "natural-edge"}
VENEER = {"body.top": "veneer", "body.top_wood": "flame maple"}
REDWOOD = {"body.top": "flat", "body.top_wood": "redwood"}
TWO_BOXES = {"electronics.supply": "18 V", "electronics.battery_boxes": 2}

ALDER_KG = 2.0 + 1.1 + 1.15 + 0.08
MAPLE_KG = 3.1 + 1.1 + 1.15 + 0.08
LIGHT_BODY_KG = 2.0 * 3.5 / 4.4
LIGHT = {"body.chambering": "chambered", "hardware.tuners": "standard"}

PAIRS = (
    Pair("one-piece-too-wide", "error", {"body.pieces": 1, "body.width": 335.02}, 350.02,
         {"body.pieces": 1, "body.width": 335.01}),
    Pair("one-piece-moves", "warning", {"body.pieces": 1, "body.wood": "maple"}, "maple", {"body.wood": "maple"}),
    Pair("over-weight-ceiling", "warning", {"body.weight_ceiling_kg": 4.2}, ALDER_KG, {"body.weight_ceiling_kg": 4.24}),
    Pair("heavy-wood-not-chambered", "warning", {"body.wood": "maple"}, MAPLE_KG,
         {"body.wood": "maple", "body.chambering": "chambered"}),
    Pair("neck-dive", "warning", LIGHT, LIGHT_BODY_KG, {**LIGHT, "hardware.tuners": "ultralight"}),
    Pair("carve-through-top", "error", {**FLAT_TOP, "body.top_thickness": 6, "body.carve_depth": 4.02}, 4.02,
         {**FLAT_TOP, "body.top_thickness": 6, "body.carve_depth": 4.01}),
    Pair("carved-veneer", "error", VENEER, 1.0, {**VENEER, "body.forearm": "bent veneer"}),
    Pair("natural-edge-thin-top", "error", {**NATURAL_EDGE, "body.top_thickness": 4.98}, 4.98,
         {**NATURAL_EDGE, "body.top_thickness": 4.99}),
    Pair("natural-edge-dark-wood", "error", {**NATURAL_EDGE, "body.top_wood": "walnut"}, "walnut", NATURAL_EDGE),
    Pair("punky-top", "warning", {**FLAT_TOP, "body.top_wood": "buckeye"}, "buckeye", FLAT_TOP),
    Pair("soft-top-under-bridge", "warning", REDWOOD, "redwood", {**REDWOOD, "bridge.kind": "one-piece plate"}),
    Pair("thin-body-two-boxes", "warning", {**TWO_BOXES, "body.thickness": 37.98}, 37.98,
         {**TWO_BOXES, "body.thickness": 38}),
    Pair("face-over-pot-shaft", "warning", {"electronics.face_at_controls": 7.5}, 7.5,
         {"electronics.face_at_controls": 7.5, "electronics.long_shafts": True}),
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=names(PAIRS))
def test_fires_and_does_not(pair):
    assert_pair(pair)
