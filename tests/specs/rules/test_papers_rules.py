"""Rules of listed woods, shell and carriers. CITES Appendix I and annotation #15 as published guidance tells them."""

import pytest

from specs.facts import OrderFacts
from tests.specs.rules.pairs import ABROAD, HOME, Pair, assert_pair, names, told

BRAZILIAN = {"fingerboard.wood": "Brazilian rosewood"}
SHELL = {"fingerboard.inlay": "dots", "fingerboard.inlay_material": "abalone"}
BAG = {"case.kind": "gig bag", "case.double_carton": False}
BY_HAND = OrderFacts(carrier=False)

PAIRS = (
    Pair("appendix-one-never-offered", "error", BRAZILIAN, "Brazilian rosewood", {}),
    Pair("listed-wood-export", "error", BRAZILIAN, "Brazilian rosewood", {}, ABROAD, ABROAD),
    Pair("listed-wood-papers", "note", {}, "Indian rosewood (Dalbergia, Appendix II #15)", {}, ABROAD, HOME),
    Pair("shell-inlay-export", "warning", SHELL, "abalone", {**SHELL, "fingerboard.inlay_material": "wood"}, ABROAD,
         ABROAD),
    Pair("case-too-short", "error", {"case.inside_length": 1274}, 1259.8, {"case.inside_length": 1275}),
    Pair("gig-bag-is-not-freight", "warning", BAG, "gig bag", BAG, HOME, BY_HAND),
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=names(PAIRS))
def test_fires_and_does_not(pair):
    assert_pair(pair)


def test_a_headless_instrument_fits_a_shorter_case():
    """939.8 mm of scale, the bridge's middle 38 mm before its bass end, under 88 mm of tail, 30 mm past the nut."""
    headless = {"neck.headstock": "headless", "bridge.kind": "headless single units"}
    (finding,) = told("case-too-short", headless | {"case.inside_length": 1000})
    assert 939.8 + 30 < finding.figure < 939.8 + 30 + 88
    assert told("case-too-short", headless | {"case.inside_length": 1060}) == []


def test_a_finished_instrument_with_indian_rosewood_may_go_abroad():
    """Annotation #15 exempts finished musical instruments since 26 November 2019."""
    assert told("listed-wood-export", {}, ABROAD) == []


def test_a_permit_in_hand_answers_the_export_rule():
    assert told("listed-wood-export", BRAZILIAN, OrderFacts(export=True, permit=True)) == []
