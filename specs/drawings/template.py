"""The plan at true size on paper, to be laid on wood: tiled over A4 or Letter sheets, or on one long roll."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO

from reportlab.pdfgen.canvas import Canvas

from specs.derived import Point
from specs.drawings.furniture import PT_PER_MM, TRUE_SIZE, draw_bars, draw_block, draw_marks
from specs.drawings.pen import stroke, stroke_circle
from specs.drawings.shapes import Hole, Line, Mark, Outline, Plan, Shape, Words
from specs.drawings.tiles import FOOT_MM, MARGIN_MM, SIDE_STRIP_MM, Tile, Tiling, tiling

THICK_MM, THIN_MM, FINEST_MM = 0.5, 0.25, 0.1
WIDTHS_MM = {"BOARD-OUTLINE": THICK_MM, "NUT-SEAT": THICK_MM, "SLOTS": FINEST_MM, "FRET-LINES": FINEST_MM}
"""Thick to thin is 2 to 1 (ISO 128-2); a slot and its fret are drawn finer than they can be scribed."""

DASHES_MM = {"CENTRE-LINE": (6.0, 0.75, 0.125, 0.75), "BLANK": (3.0, 0.75), "STRINGS": (1.5, 0.75)}
NOT_PRINTED = ("CUTTER-PATHS", "SLOT-CENTRES")
"""What only a machine follows."""

CAP_HEIGHT = 0.718
"""Height of a capital over the size of the letters, Helvetica."""

POINT_ARM_MM = 2.0

Say = Callable[[str], str]


def true_size_pdf(plan: Plan, *, paper: str = "A4", block: Sequence[tuple[str, str]] = (), say: Say = str) -> bytes:
    """A PDF at 1:1, told not to be scaled; the same plan always gives the same bytes.

    ``block`` are the label and value pairs of the title block. Every sheet carries a 100 mm and a 4 in bar both ways,
    the hand in words and its place among the sheets. Raises Refused for a paper other than A4, Letter or roll.
    """
    sheets = tiling(plan.extent, paper)
    written = BytesIO()
    pdf = Canvas(written, pagesize=tuple(side * PT_PER_MM for side in sheets.paper_mm), invariant=1)
    pdf.setTitle(f"{say('True-size drawing')}, {plan.hand}")
    pdf.setSubject(say(TRUE_SIZE))
    pdf.setAuthor("")
    pdf.setCreator("Heelblock")
    pdf.setViewerPreference("PrintScaling", "None")
    for tile in sheets.tiles:
        _draw_sheet(Sheet(pdf, sheets, tile), plan, block, say)
        pdf.showPage()
    pdf.save()
    return written.getvalue()


@dataclass(frozen=True)
class Sheet:
    """One page with its window on the drawing."""

    pdf: Canvas
    sheets: Tiling
    tile: Tile

    def at(self, point: Point) -> Point:
        """A point of the instrument in points of the page: x to the right, y up, as in the instrument."""
        x, y = self.sheets.on_paper_mm(self.tile, point)
        return x * PT_PER_MM, y * PT_PER_MM


def _draw_sheet(sheet: Sheet, plan: Plan, block: Sequence[tuple[str, str]], say: Say) -> None:
    pdf, tile = sheet.pdf, sheet.tile
    pdf.saveState()
    _clip_to_window(sheet)
    for shape in plan.shapes:
        if shape.layer not in NOT_PRINTED and tile.meets(*_bounds(shape)):
            _draw(sheet, shape)
    draw_marks(pdf, [(name, sheet.at(point)) for name, point in sheet.sheets.marks if tile.holds(point)])
    pdf.restoreState()
    corner = MARGIN_MM + SIDE_STRIP_MM, MARGIN_MM + FOOT_MM
    draw_bars(pdf, corner)
    draw_block(pdf, corner, sheet.sheets, tile, plan, block, say)


def _clip_to_window(sheet: Sheet) -> None:
    (left, bottom), (right, top) = sheet.at(sheet.tile.low), sheet.at(sheet.tile.high)
    window = sheet.pdf.beginPath()
    window.rect(left, bottom, right - left, top - bottom)
    sheet.pdf.setLineWidth(FINEST_MM * PT_PER_MM)
    sheet.pdf.clipPath(window, stroke=1, fill=0)


def _bounds(shape: Shape) -> tuple[Point, Point]:
    if isinstance(shape, Words):
        half_mm = len(shape.text) * shape.height_mm / 2
        return (shape.at[0] - half_mm, shape.at[1] - 1), (shape.at[0] + half_mm, shape.at[1] + shape.height_mm)
    xs, ys = zip(*shape.points, strict=True)
    return (min(xs) - POINT_ARM_MM, min(ys) - POINT_ARM_MM), (max(xs) + POINT_ARM_MM, max(ys) + POINT_ARM_MM)


def _draw(sheet: Sheet, shape: Shape) -> None:
    pdf = sheet.pdf
    pdf.setLineWidth(WIDTHS_MM.get(shape.layer, THIN_MM) * PT_PER_MM)
    pdf.setDash([dash * PT_PER_MM for dash in DASHES_MM.get(shape.layer, ())])
    match shape:
        case Line():
            stroke(pdf, map(sheet.at, shape.points))
        case Outline():
            stroke(pdf, map(sheet.at, shape.points), closed=True)
        case Hole():
            stroke_circle(pdf, sheet.at(shape.centre), shape.diameter_mm / 2 * PT_PER_MM)
            _draw_cross(sheet, shape.centre, shape.diameter_mm / 2 + POINT_ARM_MM)
        case Mark():
            _draw_cross(sheet, shape.at, POINT_ARM_MM)
        case Words():
            pdf.setFont("Helvetica", shape.height_mm * PT_PER_MM / CAP_HEIGHT)
            pdf.drawCentredString(*sheet.at(shape.at), shape.text)


def _draw_cross(sheet: Sheet, centre: Point, arm_mm: float) -> None:
    x, y = centre
    stroke(sheet.pdf, map(sheet.at, ((x - arm_mm, y), (x + arm_mm, y))))
    stroke(sheet.pdf, map(sheet.at, ((x, y - arm_mm), (x, y + arm_mm))))
