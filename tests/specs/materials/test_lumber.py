"""Lumber against board feet of published examples and sizes worked by hand."""

from math import sqrt

import pytest
from shapely.geometry import Polygon

from specs.geometry.body import body_outline
from specs.materials import materials
from specs.materials.lumber import Blank, body_boards, fingerboard_blank, neck_strips
from specs.wood.faces import top_thickness_mm
from specs.wood.parts import wooden_parts
from tests.specs.documents import FOUR_STRING, derived

INCH = 25.4
ONE_BOARD_FOOT_CM3 = 2359.737
WHOLE_MM = 0.5


@pytest.mark.parametrize(
    ("inches", "expected"),
    [((1, 9, 96), 6), ((1.5, 9, 96), 9), ((2, 8, 72), 8), ((1, 6, 120), 5), ((2, 6.25, 96), 25 / 3)],
)
def test_board_feet_of_published_examples(inches, expected):
    """Woodworking pages: 1×9×96 in is 6, 1.5×9×96 is 9, 2×8×72 is 8, 1 in×6 in×10 ft is 5; the export council's
    2×6 1/4 in×8 ft is 8.333 by plain volume (8 by its rounded surface measure, which is not used here)."""
    blank = Blank("board", 1, *(INCH * side for side in inches), "")
    assert blank.board_feet == pytest.approx(expected, rel=1e-12)
    assert blank.litres * 1000 / ONE_BOARD_FOOT_CM3 == pytest.approx(expected, rel=1e-6)


def test_two_body_boards_are_46_by_180_by_560():
    """Common practice: boards 45-50 mm rough, two at 180 mm, 560 mm long."""
    boards = body_boards(derived())
    assert (boards.pieces, boards.thickness_mm, boards.width_mm) == (2, 46, 180)
    assert boards.length_mm == pytest.approx(560, abs=WHOLE_MM)
    assert boards.board_feet == pytest.approx(2 * 46 * 180 * boards.length_mm / 1000 / ONE_BOARD_FOOT_CM3, rel=1e-6)


def test_boards_are_as_long_as_the_drawn_body_and_15_mm():
    outline = Polygon(body_outline(derived(FOUR_STRING)).polygon())
    length_mm = outline.bounds[2] - outline.bounds[0]
    assert body_boards(derived(FOUR_STRING)).length_mm == pytest.approx(length_mm + 15)
    assert body_boards(derived({"fingerboard.frets": 7, "neck.pocket": 150})).length_mm == 560


def test_wood_left_over_is_what_the_drawing_does_not_keep():
    """The bought boards' volume less the finished body's, in the line's own words."""
    boards = body_boards(derived())
    (body,) = [part for part in wooden_parts(derived()) if part.name == "body"]
    assert boards.finished_l == pytest.approx(body.litres)
    share = 100 - 100 * body.litres / boards.litres
    assert boards.offcut == f"; {body.litres:.2f} litres finished, {share:.0f} % offcut"
    assert Blank("plate", 1, 1, 1, 1, "").offcut == ""


@pytest.mark.parametrize("construction", ["bolt-on", "neck-through"])
def test_no_plank_is_smaller_than_what_is_cut_from_it(construction):
    instrument = derived({"neck.construction": construction, "body.top": "flat"})
    planks = [body_boards(instrument), fingerboard_blank(instrument), *neck_strips(instrument)]
    assert [plank.item for plank in planks if not 0 < plank.finished_l < plank.litres] == []


def test_a_top_takes_its_thickness_off_the_boards():
    topped = derived({"body.top": "flat", "body.top_wood": "walnut", "body.top_thickness": 8})
    assert top_thickness_mm(topped.spec) == 8
    assert body_boards(topped).thickness_mm == 46 - 8


def test_one_piece_needs_the_whole_width_and_a_neck_through_two_wings():
    through = body_boards(derived({"neck.construction": "neck-through"}))
    assert body_boards(derived({"body.pieces": 1})).width_mm == 360
    assert (through.pieces, through.item) == (2, "alder wings")
    assert 130 < through.width_mm < 140


def test_neck_stock_has_the_usual_length():
    """Common practice: 980 mm for a 37 in neck with headstock, 760 mm headless, 1300 mm through the body."""
    lengths = [
        neck_strips(derived(changes))[0].length_mm
        for changes in ({}, {"neck.headstock": "headless"}, {"neck.construction": "neck-through"})
    ]
    assert lengths == pytest.approx([980, 760, 1300], abs=10)


def test_two_woods_share_the_strips_with_the_first_outside():
    strips = neck_strips(derived({"neck.wood": "maple and wenge", "neck.pieces": 7}))
    assert [(blank.item, blank.pieces) for blank in strips] == [("maple neck strips", 4), ("wenge neck strips", 3)]


def test_a_one_piece_neck_of_two_woods_is_of_the_first():
    strips = neck_strips(derived({"neck.wood": "maple and wenge", "neck.pieces": 1}))
    assert [(blank.item, blank.pieces) for blank in strips] == [("maple neck strips", 1)]


def test_fingerboard_blank_spans_every_slanted_slot():
    """Two right triangles: half the blank's width times the slope of nut and of last fret, beyond the centre line."""
    instrument = derived({"scale.perpendicular_fret": 7})
    bass, treble = (sqrt((inches * INCH) ** 2 - 16.5**2) for inches in (37, 34))
    lead = (bass - treble) * (1 - 2 ** (-7 / 12))
    lag = (bass - treble) * (2 ** (-7 / 12) - 0.25)
    slopes = lead / 39, lag / (39 + 33 * 0.75)
    centres = (bass + treble) / 2 * 0.75
    expected = centres + 50 * sum(slopes) + 8 + 20
    assert fingerboard_blank(instrument).length_mm == pytest.approx(expected, rel=1e-9)


def test_a_left_handed_blank_is_as_long():
    lengths = [fingerboard_blank(derived({"hand": hand})).length_mm for hand in ("left", "right")]
    assert lengths[0] == pytest.approx(lengths[1], rel=1e-12)


def test_a_headplate_and_an_accent_are_bought_only_when_ordered():
    plain = {line.item for line in materials(derived()) if line.group == "wood"}
    ordered = {"neck.headplate": True, "body.accent": "black veneer"}
    more = {line.item for line in materials(derived(ordered)) if line.group == "wood"}
    assert more - plain == {"plain headplate, 1 × 2.5 × 120 × 220 mm", "black veneer, 2 × 0.6 × 182.5 × 559.8 mm"}
