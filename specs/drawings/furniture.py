"""What stands on every true-size sheet beside the drawing: check bars, registration marks, title block, tile map."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from reportlab.pdfgen.canvas import Canvas

from specs.derived import Point
from specs.drawings.pen import stroke, stroke_circle
from specs.drawings.plan import FACE_UP
from specs.drawings.shapes import Plan
from specs.drawings.tiles import Tile, Tiling

MM_PER_INCH = 25.4
PT_PER_MM = 72 / MM_PER_INCH
"""**Source**: the unit of a PDF page is 1/72 in (ISO 32000)."""

TRUE_SIZE = "1:1 — print at 100 %, do not fit to page"
BARS = ((100.0, 10.0, "100 mm"), (4 * MM_PER_INCH, MM_PER_INCH, "4 in"))
"""Length, step and name of the check bars."""

BAR_MM = 0.25
FIRST_BAR_MM, BAR_APART_MM = 4.0, 7.0
TICK_MM, END_TICK_MM = 1.5, 3.0
CROSS_MM, RING_MM = 5.0, 2.0
TEXT_PT, STRONG_PT = 8.0, 12.0
ROW_MM = 5.0
WORDS_FROM_MM = 122.0
PAIRS_A_ROW = 4
MAP_CELL_MM = 6.5, 4.5

Say = Callable[[str], str]


def draw_bars(pdf: Canvas, corner: Point) -> None:
    """A 100 mm and a 4 in bar both along the foot and up the side, from the drawing's lower left corner in mm."""
    pdf.setDash()
    pdf.setFont("Helvetica", TEXT_PT)
    pdf.setLineWidth(BAR_MM * PT_PER_MM)
    for number, (length_mm, step_mm, name) in enumerate(BARS):
        away_mm = FIRST_BAR_MM + number * BAR_APART_MM
        for upright in (False, True):
            _draw_bar(pdf, corner, length_mm, step_mm, away_mm, upright)
        pdf.drawString((corner[0] + length_mm + 2) * PT_PER_MM, (corner[1] - away_mm - 1) * PT_PER_MM, name)
        pdf.saveState()
        pdf.translate((corner[0] - away_mm + 1) * PT_PER_MM, (corner[1] + length_mm + 2) * PT_PER_MM)
        pdf.rotate(90)
        pdf.drawString(0, 0, name)
        pdf.restoreState()


def _draw_bar(pdf: Canvas, corner: Point, length_mm: float, step_mm: float, away_mm: float, upright: bool) -> None:
    def at(along_mm: float, off_mm: float) -> Point:
        out_mm = -away_mm + off_mm
        x, y = (out_mm, along_mm) if upright else (along_mm, out_mm)
        return (corner[0] + x) * PT_PER_MM, (corner[1] + y) * PT_PER_MM

    stroke(pdf, (at(0, 0), at(length_mm, 0)))
    steps = round(length_mm / step_mm)
    for step in range(steps + 1):
        tick_mm = END_TICK_MM if step in (0, steps) else TICK_MM
        stroke(pdf, (at(step * step_mm, 0), at(step * step_mm, tick_mm)))


def draw_marks(pdf: Canvas, marks: Sequence[tuple[str, Point]]) -> None:
    """Crosses in rings, each with its name, at points of the page; the same name on two sheets lies on itself."""
    pdf.setDash()
    pdf.setLineWidth(BAR_MM / 2 * PT_PER_MM)
    pdf.setFont("Helvetica", TEXT_PT)
    arm = CROSS_MM * PT_PER_MM
    for name, (x, y) in marks:
        stroke(pdf, ((x - arm, y), (x + arm, y)))
        stroke(pdf, ((x, y - arm), (x, y + arm)))
        stroke_circle(pdf, (x, y), RING_MM * PT_PER_MM)
        pdf.drawString(x + (RING_MM + 0.5) * PT_PER_MM, y + PT_PER_MM, name)


def draw_block(
    pdf: Canvas, corner: Point, sheets: Tiling, tile: Tile, plan: Plan, block: Sequence[tuple[str, str]], say: Say
) -> None:
    """The words at the foot: hand, face, scale, sheet n of N, datum, title block's pairs, and the small tile map."""
    left, top = corner[0] + WORDS_FROM_MM, corner[1] - ROW_MM
    pdf.setFont("Helvetica-Bold", STRONG_PT)
    pdf.drawString(left * PT_PER_MM, top * PT_PER_MM, plan.hand)
    pdf.setFont("Helvetica-Bold", TEXT_PT)
    for row, words in enumerate((say(FACE_UP), say(TRUE_SIZE)), start=1):
        pdf.drawString(left * PT_PER_MM, (top - row * ROW_MM) * PT_PER_MM, words)
    pdf.setFont("Helvetica", TEXT_PT)
    sheet_words = f"{say('sheet')} {tile.number} {say('of')} {len(sheets.tiles)}, {say('datum')}: {plan.datum}"
    pdf.drawString(left * PT_PER_MM, (top - 3 * ROW_MM) * PT_PER_MM, sheet_words)
    _draw_pairs(pdf, (corner[0], top - 4 * ROW_MM), block)
    _draw_map(pdf, (sheets.paper_mm[0] - corner[0] + FIRST_BAR_MM, top + ROW_MM / 2), sheets, tile)


def _draw_pairs(pdf: Canvas, at: Point, block: Sequence[tuple[str, str]]) -> None:
    for start in range(0, len(block), PAIRS_A_ROW):
        words = "     ".join(f"{label}: {value}" for label, value in block[start : start + PAIRS_A_ROW])
        pdf.drawString(at[0] * PT_PER_MM, (at[1] - start // PAIRS_A_ROW * ROW_MM) * PT_PER_MM, words)


def _draw_map(pdf: Canvas, right_top: Point, sheets: Tiling, tile: Tile) -> None:
    """One cell a sheet, as they lie; this one filled."""
    width, height = (side * PT_PER_MM for side in MAP_CELL_MM)
    left, top = right_top[0] * PT_PER_MM - sheets.columns * width, right_top[1] * PT_PER_MM
    pdf.setLineWidth(BAR_MM * PT_PER_MM)
    for cell in sheets.tiles:
        x, y = left + cell.column * width, top - (sheets.rows - cell.row) * height
        pdf.setFillGray(0.0 if cell is tile else 1.0)
        pdf.rect(x, y, width, height, stroke=1, fill=1)
        pdf.setFillGray(1.0 if cell is tile else 0.0)
        pdf.drawCentredString(x + width / 2, y + height / 2 - TEXT_PT / 3, str(cell.number))
    pdf.setFillGray(0.0)
