"""The true-size sheets, read back from the PDF in points and measured against the computed instrument."""

import ctypes
from math import dist

import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest

from specs.drawings.plan import plan
from specs.drawings.template import true_size_pdf
from specs.drawings.tiles import FOOT_MM, MARGIN_MM, OVERLAP_MM, SIDE_STRIP_MM, tiling
from specs.errors import Refused
from tests.specs.documents import derived

MM_PER_PT = 25.4 / 72
READ_BACK_MM = 0.02
CORNER_MM = (MARGIN_MM + SIDE_STRIP_MM, MARGIN_MM + FOOT_MM)
PAPERS = ["A4", "Letter", "roll"]


def drawn(instrument):
    return plan(instrument, kerf_mm=0.58, cutter_mm=0.58)


def pages(instrument, paper):
    """Each page's size, straight lines and closed outlines in mm from its lower left corner, and its text."""
    with pdfium.PdfDocument(true_size_pdf(drawn(instrument), paper=paper)) as document:
        for page in document:
            paths = [points(item) for item in page.get_objects([raw.FPDF_PAGEOBJ_PATH])]
            yield [side * MM_PER_PT for side in page.get_size()], paths, page.get_textpage().get_text_range()


def points(item):
    """The corners of a path; pdfium holds them in the page's own points."""
    x, y = ctypes.c_float(), ctypes.c_float()
    found = []
    for number in range(raw.FPDFPath_CountSegments(item)):
        raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(item, number), x, y)
        found.append((x.value * MM_PER_PT, y.value * MM_PER_PT))
    return found


def instrument_lines(instrument, paper):
    """Every path of every sheet, put back where it lies on the instrument."""
    sheets = tiling(drawn(instrument).extent, paper)
    for tile, (_, paths, _) in zip(sheets.tiles, pages(instrument, paper), strict=True):
        for path in paths:
            yield tile, [(tile.low[0] + x - CORNER_MM[0], tile.low[1] + y - CORNER_MM[1]) for x, y in path]


def nearest(lines, *ends):
    return min(max(map(dist, line, ends)) for _, line in lines if len(line) == len(ends))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("hand", ["right", "left"])
def test_every_fret_and_string_is_drawn_where_it_was_computed(paper, hand):
    instrument = derived({"hand": hand})
    lines = list(instrument_lines(instrument, paper))
    for fret in instrument.frets:
        assert nearest(lines, fret.bass_edge, fret.treble_edge) < READ_BACK_MM
    for string in instrument.strings:
        assert nearest(lines, string.nut, string.bridge) < READ_BACK_MM


@pytest.mark.parametrize("paper", PAPERS)
def test_every_point_of_the_instrument_is_seen_on_some_sheet(paper):
    shapes = drawn(derived()).shapes
    tiles = tiling(drawn(derived()).extent, paper).tiles
    assert all(any(tile.holds(point) for tile in tiles) for shape in shapes for point in shape.points)


@pytest.mark.parametrize("paper", PAPERS)
def test_every_sheet_carries_both_bars_both_ways(paper):
    x, y = CORNER_MM
    for _, paths, text in pages(derived(), paper):
        for length, away in ((100.0, 4.0), (101.6, 11.0)):
            along_foot = ((x, y - away), (x + length, y - away))
            up_side = ((x - away, y), (x - away, y + length))
            for bar in (along_foot, up_side):
                assert min(max(map(dist, path, bar)) for path in paths if len(path) == 2) < READ_BACK_MM
        assert text.count("100 mm") == text.count("4 in") == 2


@pytest.mark.parametrize("hand", ["right", "left"])
def test_every_sheet_says_its_hand_its_size_and_its_number(hand):
    texts = [text for _, _, text in pages(derived({"hand": hand}), "A4")]
    for number, text in enumerate(texts, 1):
        assert f"{hand.upper()}-HANDED" in text
        assert "1:1 — print at 100 %, do not fit to page" in text
        assert f"sheet {number} of {len(texts)}" in text


@pytest.mark.parametrize(("hand", "side"), [("right", -1), ("left", 1)])
def test_the_bass_string_is_drawn_below_on_a_right_handed_sheet_and_above_on_a_left_handed_one(hand, side):
    instrument = derived({"hand": hand})
    strings = [
        line for _, line in instrument_lines(instrument, "roll")
        if len(line) == 2 and dist(*line) == pytest.approx(instrument.strings[0].scale_mm, abs=READ_BACK_MM)
    ]  # fmt: skip
    assert [line[1][1] * side > 20 for line in strings] == [True]


@pytest.mark.parametrize(("paper", "size"), [("A4", [297, 210]), ("Letter", [279.4, 215.9])])
def test_sheets_have_the_standard_size(paper, size):
    """ISO 216 A4; ANSI/ASME Y14.1 size A."""
    for found, _, _ in pages(derived(), paper):
        assert found == pytest.approx(size, abs=READ_BACK_MM)


def test_a_roll_is_one_page():
    assert len(list(pages(derived(), "roll"))) == 1


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_neighbours_overlap_and_share_their_registration_marks(paper):
    sheets = tiling(drawn(derived({"fingerboard.blank_width": 250})).extent, paper)
    assert sheets.rows == 2
    for one in sheets.tiles:
        for other in sheets.tiles:
            if (one.column + 1, one.row) == (other.column, other.row):
                assert one.high[0] - other.low[0] == pytest.approx(OVERLAP_MM)
                assert sum(one.holds(at) and other.holds(at) for _, at in sheets.marks) >= 2
            if (one.column, one.row + 1) == (other.column, other.row):
                assert one.high[1] - other.low[1] == pytest.approx(OVERLAP_MM)
                assert sum(one.holds(at) and other.holds(at) for _, at in sheets.marks) >= 2


def test_marks_have_different_names():
    names = [name for name, _ in tiling(drawn(derived({"fingerboard.blank_width": 800})).extent, "A4").marks]
    assert len(set(names)) == len(names) > 26


def test_viewers_are_told_not_to_scale():
    written = true_size_pdf(drawn(derived()))
    assert b"/PrintScaling /None" in written
    assert written == true_size_pdf(drawn(derived()))


def test_other_paper_is_refused():
    with pytest.raises(Refused) as refusal:
        true_size_pdf(drawn(derived()), paper="A5")
    assert [problem.field for problem in refusal.value.problems] == ["paper"]
