"""Rules of rod, screws, heel, posts and rod pocket. Thresholds: common practice, no source; places worked by hand."""

from math import atan, cos, degrees, log2, sin, sqrt

import pytest

from tests.specs.documents import derived
from tests.specs.rules.pairs import Pair, assert_pair, names, told

INCH = 25.4
AT_HEAD = {"neck.adjuster": "headstock", "neck.truss_rod": 600}
FLAT = {"neck.headstock": "flat"}
LONG_OVERHANG = {"fingerboard.overhang": 26}


def nut_angle(square=7):
    """Radians of the 39 mm nut of a 37-34 pair from its right triangle."""
    bass, treble = (sqrt((inches * INCH) ** 2 - 16.5**2) for inches in (37, 34))
    return atan((bass - treble) * (1 - 2 ** (-square / 12)) / 39)


def shelf_mm(along):
    """From the corner of a 12 mm pocket to the slanted line, square to it."""
    return along * cos(nut_angle()) - 6 * sin(nut_angle())


def frets_to_joint():
    """Frets the treble string would have between the last one and the joint, 90 mm before the board's end."""
    instrument = derived()
    treble = instrument.strings[-1]
    run = treble.bridge[0] - treble.nut[0]
    return -12 * log2(1 - (instrument.board.length_mm - 90 - treble.nut[0]) / run) - 24


PAIRS = (
    Pair("rod-short-of-fret-15", "error", {"neck.truss_rod": 515}, 515, {"neck.truss_rod": 520}),
    Pair("rod-through-heel", "error", {"neck.truss_rod": 675}, 675, {"neck.truss_rod": 665}),
    Pair("rod-near-neck-screw", "error", {"neck.bolt_rows": 26}, 13 - (8 + 6.35) / 2, {"neck.bolt_rows": 26.5}),
    Pair("rod-pocket-under-nut", "error", {**AT_HEAD, "neck.rod_shelf": 7}, shelf_mm(7),
         {**AT_HEAD, "neck.rod_shelf": 8}),
    Pair("heel-stops-upper-frets", "warning", {"body.heel": False}, frets_to_joint(), {}),
    Pair("short-pocket-under-overhang", "warning", {**LONG_OVERHANG, "neck.pocket": 74}, 26,
         {**LONG_OVERHANG, "neck.pocket": 75}),
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=names(PAIRS))
def test_fires_and_does_not(pair):
    assert_pair(pair)


def test_a_wheel_at_the_body_end_needs_no_pocket_and_a_square_nut_none_of_it():
    short = {"neck.rod_shelf": 2}
    assert told("rod-pocket-under-nut", {**short, "neck.adjuster": "body-end wheel"}) == []
    assert told("rod-pocket-under-nut", {**short, **AT_HEAD, "scale.perpendicular_fret": 2}) == []


def test_a_rod_that_ends_before_the_screws_clears_them():
    """First screws 75 mm before the board's end; the channel keeps its 6 mm to a hole at 600 mm of rod and less."""
    narrow = {"neck.bolt_rows": 20}
    assert told("rod-near-neck-screw", {**narrow, "neck.truss_rod": 590}) == []
    assert len(told("rod-near-neck-screw", {**narrow, "neck.truss_rod": 606})) == 1


def test_posts_set_outward_turn_the_strings():
    """A post 35 mm off and 6 mm outward turns its string by about atan(6/35): 9.7 degrees."""
    (finding,) = told("string-turns-at-nut", {"neck.tuner_outward": 6})
    assert (finding.severity, finding.figure) == ("error", pytest.approx(degrees(atan(6 / 35)), abs=0.5))
    assert told("string-turns-at-nut", {"neck.tuner_outward": 4}) == []


def test_strings_close_together_pass_the_next_post_too_closely():
    """Four gaps share 14 mm less 8.4 mm of metal: 1.4 mm of air at the nut, and a little more or less at the posts."""
    crowded = {"nut.spread": 14, "scale.bass": "34.5 in"}
    (finding,) = told("string-clears-posts", crowded)
    assert finding.severity == "error"
    assert finding.figure == pytest.approx(1.4, abs=0.6)
    assert told("string-clears-posts", {**crowded, "nut.spread": 26}) == []


def test_a_flat_headstock_with_far_posts_wants_retainers():
    """4+1: the fourth post stands 35 + 3 × 44 mm from the outer string's end, over 150; 3+2 stays under it."""
    far = {**FLAT, "neck.tuner_layout": "4+1"}
    (finding,) = told("flat-headstock-needs-retainers", far)
    assert (finding.severity, 150 < finding.figure < 35 + 4 * 44) == ("warning", True)
    for enough in ({"neck.string_retainers": True}, {"neck.headstock": "angled"}, {"neck.tuner_layout": "3+2"}):
        assert told("flat-headstock-needs-retainers", far | enough) == []
