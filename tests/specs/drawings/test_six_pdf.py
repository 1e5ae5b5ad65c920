"""Six true-size files on every paper read back by a PDF reader: slots against 40 digits, the bars, the words."""

import ctypes
from functools import cache
from itertools import combinations
from operator import sub

import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest
from reportlab.pdfbase.pdfmetrics import stringWidth
from shapely import LineString, box

from specs.drawings.tiles import tiling
from tests.specs.drawings.six import PAPERS, SPECS, drawn, exact, pdf

MM_PER_PT = 25.4 / 72
NEAR_MM = 0.02
LAYERS_IN_LINES = ("FRET-LINES", "STRINGS", "BRIDGE-LINE", "SADDLE-WINDOWS", "PICKUP-ROWS")
SOLID_LAYERS = ("BLANK", "PICKUP-ROUTS", "SLOTS", "STRINGS", "BRIDGE-LINE", "SADDLE-WINDOWS")
CAP_HEIGHT = 0.718
"""Height of a capital over the size of the letters. **Source**: metrics of Helvetica."""

CLOSED_LAYERS = ("SLOTS", "BOARD-OUTLINE", "NUT-SEAT")

pytestmark = [pytest.mark.parametrize("name", SPECS), pytest.mark.parametrize("paper", PAPERS)]


class Page:
    """One sheet in mm from its lower left corner: straight paths as drawn, and the window they are seen through."""

    def __init__(self, page):
        paths = [_path(item) for item in page.get_objects([raw.FPDF_PAGEOBJ_PATH])]
        self.size = [side * MM_PER_PT for side in page.get_size()]
        self.text = page.get_textpage().get_text_range()
        self.closed = [points for points, closed in paths if closed]
        self.lines = [points for points, closed in paths if not closed and len(points) == 2]


def _path(item):
    x, y = ctypes.c_float(), ctypes.c_float()
    segments = [raw.FPDFPath_GetPathSegment(item, n) for n in range(raw.FPDFPath_CountSegments(item))]
    points = []
    for segment in segments:
        raw.FPDFPathSegment_GetPoint(segment, x, y)
        points.append(complex(x.value, y.value) * MM_PER_PT)
    closed = bool(raw.FPDFPathSegment_GetClose(segments[-1]))
    return points[:-1] if closed and points[-1] == points[0] else points, closed


@cache
def sheets(name, paper):
    with pdfium.PdfDocument(pdf(name, paper)) as document:
        pages = [Page(page) for page in document]
    tiles = tiling(drawn(name).extent, paper)
    assert len(pages) == len(tiles.tiles)
    return [
        (page, complex(*tiles.on_paper_mm(tile, (0.0, 0.0))), tile)
        for page, tile in zip(pages, tiles.tiles, strict=True)
    ]


def nearest_mm(found, wanted):
    """How far the worst of the wanted points is from its own on the path that fits best."""
    same = (path for path in found if len(path) == len(wanted) and abs(path[0] - wanted[0]) < 1)
    return min(max(map(abs, map(sub, path, wanted))) for path in same)


def seen(tile, point):
    return tile.low[0] <= point.real <= tile.high[0] and tile.low[1] <= point.imag <= tile.high[1]


def where_drawn(name, paper, layers):
    """Of every shape with a corner in a sheet's window: the sheet, and its points there, with 40 digits before."""
    for wanted in (shape for layer in layers for shape in exact(name)[layer]):
        showing = [(page, at) for page, at, tile in sheets(name, paper) if any(seen(tile, end) for end in wanted)]
        assert showing
        yield from ((page, [end + at for end in wanted]) for page, at in showing)


def test_every_slot_is_drawn_closed_and_true_on_every_sheet_that_shows_it(name, paper):
    for page, wanted in where_drawn(name, paper, CLOSED_LAYERS):
        assert nearest_mm(page.closed, wanted) < NEAR_MM


def test_every_line_is_drawn_true_on_every_sheet_that_shows_it(name, paper):
    for page, wanted in where_drawn(name, paper, LAYERS_IN_LINES):
        assert nearest_mm(page.lines, wanted) < NEAR_MM


def test_no_corner_of_a_slot_is_lost_between_the_sheets(name, paper):
    tiles = [tile for _, _, tile in sheets(name, paper)]
    for wanted in exact(name)["SLOTS"]:
        assert all(any(seen(tile, corner) for tile in tiles) for corner in wanted)


def test_check_bars_measure_100_mm_and_4_in_both_ways_on_every_sheet(name, paper):
    for page, _, _ in sheets(name, paper):
        for length_mm in (100.0, 101.6):
            for way in (1, 1j):
                assert min(abs(end - start - length_mm * way) for start, end in page.lines) < NEAR_MM
        assert page.text.count("100 mm") == page.text.count("4 in") == 2


def test_every_sheet_says_hand_face_and_size(name, paper):
    hand = "LEFT-HANDED" if name == "left hand" else "RIGHT-HANDED"
    for page, _, _ in sheets(name, paper):
        told = page.text.split("\r\n")
        assert hand in told
        assert "FACE UP: the side the strings lie on" in told
        assert "1:1 — print at 100 %, do not fit to page" in told


def test_words_ask_for_no_second_row_of_sheets(name, paper):
    assert {tile.row for _, _, tile in sheets(name, paper)} == {0}


def test_no_words_lie_on_a_line_or_on_other_words(name, paper):
    boxes = [_box(one) for one in drawn(name).on("WORDS")]
    things = [LineString([*one.points, one.points[0]]) for layer in SOLID_LAYERS for one in drawn(name).on(layer)]
    assert not any(one.intersects(other) for one, other in combinations(boxes, 2))
    assert not any(one.intersects(thing) for one in boxes for thing in things)


def _box(words):
    half = stringWidth(words.text, "Helvetica", words.height_mm / CAP_HEIGHT) / 2
    return box(words.at[0] - half, words.at[1], words.at[0] + half, words.at[1] + words.height_mm)
