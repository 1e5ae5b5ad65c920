"""Rules of the fingerboard, worked by hand. Thresholds: common practice, no source."""

import pytest

from tests.specs.rules.pairs import Pair, assert_pair, names

EQUAL_GAPS_TAKEN_MM = 25.4 * (0.130 / 2 + 0.100 + 0.080 + 0.065 + 0.045 / 2)
"""String metal between the outer centres; what is left of the spread is shared by four gaps."""
FLAT = {"fingerboard.radius_nut": None, "fingerboard.radius_end": None}
FRETLESS = {"fingerboard.frets_kind": "unlined fretless"}
PICKUPS = [{"name": name, "rows": [{"strings": [1, 2, 3, 4, 5]}], "fraction": q, "angle": "aligned"}
           for name, q in (("neck", 0.12), ("bridge", 0.06))]  # fmt: skip
TWENTY_SIX = {"fingerboard.frets": 26, "pickups": PICKUPS}
COMPOSITE = {"fingerboard.wood": "paper-resin composite"}


def gap(spread_mm):
    return (spread_mm - EQUAL_GAPS_TAKEN_MM) / 4


PAIRS = (
    Pair("edge-margin-at-last-fret", "error", {"fingerboard.edge_margin_end": 3.48}, 3.48,
         {"fingerboard.edge_margin_end": 3.49}),
    Pair("many-frets-two-soapbars", "warning", TWENTY_SIX, 26, {**TWENTY_SIX, "fingerboard.frets": 24}),
    Pair("wood-under-slot", "warning", {**FLAT, "fingerboard.thickness": 4.38}, 2.48,
         {**FLAT, "fingerboard.thickness": 4.4}),
    Pair("soft-fretless-board", "warning", FRETLESS, "Indian rosewood", {**FRETLESS, "fingerboard.wood": "ebony"}),
    Pair("fretless-takes-no-wire", "error", {**FRETLESS, "fingerboard.wire_metal": "stainless"}, "stainless", FRETLESS),
    Pair("blocks-follow-the-fan", "warning", {"fingerboard.inlay": "blocks"}, "blocks",
         {"fingerboard.inlay": "blocks", "scale.bass": "34 in"}),
    Pair("composite-board-needs-epoxy", "error", COMPOSITE, "PVA", {**COMPOSITE, "fingerboard.glue": "epoxy"}),
    Pair("strings-too-close-at-nut", "error", {"nut.spread": 34}, gap(34), {"nut.spread": 35}),
    Pair("strings-close-at-nut", "warning", {"nut.spread": 36}, gap(36), {"nut.spread": 37}),
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=names(PAIRS))
def test_fires_and_does_not(pair):
    assert_pair(pair)
