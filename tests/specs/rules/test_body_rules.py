"""Rules of boards, tops and weight. Thresholds: common practice, no source; masses are tested by themselves."""

import pytest

from specs.wood.mass import forecast
from specs.wood.parts import hang
from tests.specs.documents import derived
from tests.specs.rules.pairs import Pair, assert_pair, names

FLAT_TOP = {"body.top": "flat", "body.top_wood": "flame maple"}
NATURAL_EDGE = {**FLAT_TOP, "body.edge": "natural-edge"}
VENEER = {"body.top": "veneer", "body.top_wood": "flame maple"}
REDWOOD = {"body.top": "flat", "body.top_wood": "redwood"}
TWO_BOXES = {"electronics.supply": "18 V", "electronics.battery_boxes": 2}

ALDER_KG = forecast(derived()).usual_kg
MAPLE = {"body.wood": "maple"}
LIGHT = {"body.chambering": "chambered", "hardware.tuners": "standard"}
HEAD_HEAVY = {**LIGHT, "body.wood": "paulownia", "body.thickness": 25, "bridge.metal": "aluminium",
              "neck.wood": "wenge", "neck.tuner_pitch": 80}  # fmt: skip
GROWTH_MM = 345 * 0.00353 * 4
"""Wood Handbook Eq 13-2 with its coefficient for sugar maple, flat-sawn, from 6 to 10 %."""


def drop_mm(changes):
    """How far the centre of mass of the parts lies before the horn's button."""
    taken = hang(derived(changes))
    mass_kg = sum(part.usual_kg for part in taken.parts)
    return taken.buttons[0][0] - sum(part.usual_kg * part.x_mm for part in taken.parts) / mass_kg


PAIRS = (
    Pair("one-piece-too-wide", "error", {"body.pieces": 1, "body.width": 335.02}, 350.02,
         {"body.pieces": 1, "body.width": 335.01}),
    Pair("one-piece-moves", "warning", {"body.pieces": 1, **MAPLE}, GROWTH_MM, MAPLE),
    Pair("over-weight-ceiling", "warning", {"body.weight_ceiling_kg": ALDER_KG - 0.11}, ALDER_KG,
         {"body.weight_ceiling_kg": ALDER_KG - 0.09}),
    Pair("heavy-wood-not-chambered", "warning", MAPLE, forecast(derived(MAPLE)).usual_kg,
         {"body.wood": "maple", "body.chambering": "chambered"}),
    Pair("neck-dive", "warning", LIGHT, forecast(derived(LIGHT)).body_kg,
         {**LIGHT, "hardware.tuners": "ultralight"}),
    Pair("hangs-neck-down", "warning", HEAD_HEAVY, drop_mm(HEAD_HEAVY), {**HEAD_HEAVY, "body.wood": "maple"}),
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
