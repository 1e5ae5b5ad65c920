"""Rules of the neck. Thresholds: common practice, no source."""

import pytest

from tests.specs.documents import SIX_STRING
from tests.specs.rules.pairs import Pair, assert_pair, names, told

HEADLESS = {"neck.headstock": "headless", "bridge.kind": "headless single units"}
ROASTED = {"neck.wood": "roasted maple"}
FLAT_SAWN = {"neck.pieces": 1, "neck.grain": "flat-sawn"}

PAIRS = (
    Pair("roasted-neck-is-brittle", "warning", ROASTED, "roasted maple", {}),
    Pair("roasted-wood-glue-up", "warning", ROASTED, "PVA", {**ROASTED, "neck.glue": "epoxy"}),
    Pair("dense-laminates-glue-prep", "warning", {"neck.wood": "maple and wenge"}, "maple and wenge",
         {"neck.wood": "maple and walnut"}),
    Pair("flat-sawn-one-piece-neck", "warning", FLAT_SAWN, 5, {**FLAT_SAWN, "neck.grain": "quarter-sawn"}),
    Pair("neck-through-waits-for-bridge", "note", {"neck.construction": "neck-through"}, None, {}),
    Pair("headless-without-headstock-options", "error", {**HEADLESS, "neck.headplate": True}, "headplate", HEADLESS),
    Pair("headless-needs-its-units", "warning", {"neck.headstock": "headless"}, "single units", HEADLESS),
    Pair("tuners-match-strings", "error", {"neck.tuner_layout": "3+3"}, "3+3", {"neck.tuner_layout": "4+1"}),
    Pair("six-tuners-in-line", "warning", {**SIX_STRING, "neck.tuner_layout": "6+0"}, "6+0",
         {**SIX_STRING, "neck.tuner_layout": "4+2"}),
    Pair("left-handed-mirrors-everything", "note", {"hand": "left"}, None, {"hand": "right"}),
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=names(PAIRS))
def test_fires_and_does_not(pair):
    assert_pair(pair)


def test_bars_are_asked_for_by_length_or_width_and_the_whole_pull_is_said():
    """The set's pull printed for 34 in strings is about 190 to 250 lbf: 850 to 1100 N (common practice)."""
    (finding,) = told("bars-for-long-or-wide-neck", {"neck.stiffening_bars": False})
    assert (finding.severity, 850 < finding.figure < 1100) == ("warning", True)
    assert told("bars-for-long-or-wide-neck", {"neck.stiffening_bars": False, "scale.bass": "35.9 in"}) == []
