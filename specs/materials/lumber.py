"""Wood to have in the rack: every blank with its allowances, as pieces to cut and as volume to buy."""

from __future__ import annotations

from dataclasses import dataclass

from specs.derived import Derived, Material
from specs.document import BuildSpec
from specs.figures import board_feet
from specs.geometry.neck import BLANK_WASTE_MM, board_blank
from specs.materials.consumables import usual
from specs.materials.sizes import body_length_mm, finished_l
from specs.wood.faces import seen_wood, top_thickness_mm

INCH_MM = 25.4


@dataclass(frozen=True)
class Blank:
    """Equal pieces of one wood, in mm as they leave the rack."""

    item: str
    pieces: int
    thickness_mm: float
    width_mm: float
    length_mm: float
    why: str
    finished_l: float | None = None
    """Litres of it left in the finished instrument; None where that is not known."""

    @property
    def litres(self) -> float:
        """Volume of all pieces in litres."""
        return self.pieces * self.thickness_mm * self.width_mm * self.length_mm / 1e6

    @property
    def board_feet(self) -> float:
        """Volume of all pieces in board feet, unrounded."""
        one = board_feet(self.thickness_mm / INCH_MM, self.width_mm / INCH_MM, self.length_mm / INCH_MM)
        return self.pieces * one

    @property
    def offcut(self) -> str:
        """What becomes shavings and offcuts, in words; nothing where it is not known."""
        if self.finished_l is None:
            return ""
        share = 100 * (1 - self.finished_l / self.litres)
        return f"; {self.finished_l:.2f} litres finished, {share:.0f} % offcut"

    @property
    def size(self) -> str:
        """Pieces and size as a rack label says them."""
        sides = (self.thickness_mm, self.width_mm, self.length_mm)
        return f"{self.pieces} × " + " × ".join(f"{side:.1f}".removesuffix(".0") for side in sides) + " mm"

    def bought_by_volume(self) -> Material:
        """The line of lumber, in board feet."""
        how = f"{self.size} = {self.litres:.2f} litres; {self.why}{self.offcut}"
        return Material("wood", f"{self.item}, {self.size}", self.board_feet, "board feet", how)

    def bought_by_piece(self) -> Material:
        """The line of a blank or plate that is sold by the piece."""
        how = f"{self.litres:.3f} litres, {self.board_feet:.3f} board feet; {self.why}{self.offcut}"
        return Material("wood", f"{self.item}, {self.size}", self.pieces, "pieces", how)


def lumber(derived: Derived) -> list[Material]:
    """Body boards, top, accent, neck strips, fingerboard blank and headplate, with their allowances in mm."""
    spec = derived.spec
    bought = [body_boards(derived).bought_by_volume()]
    bought += [top_plates(derived).bought_by_piece()] if spec.body.top != "none" else []
    bought += [accent(derived).bought_by_piece()] if spec.body.accent != "none" else []
    bought += [blank.bought_by_volume() for blank in neck_strips(derived)]
    bought += [fingerboard_blank(derived).bought_by_piece()]
    return bought + ([headplate(spec).bought_by_piece()] if spec.neck.headplate else [])


def body_boards(derived: Derived) -> Blank:
    """The boards of the body, or the two wings of a neck-through; thickness is the body's less its top."""
    body, over_mm = derived.spec.body, usual("body_board_over_width")
    core_mm = body.thickness_mm - top_thickness_mm(derived.spec)
    thickness_mm, length_mm = core_mm + usual("body_board_over_thickness"), body_length_mm(derived)
    left_l = finished_l(derived, "body")
    thick = f"{core_mm:g} + {usual('body_board_over_thickness'):g} mm thick"
    if derived.spec.neck.construction == "neck-through":
        width_mm = (body.width_mm + over_mm - neck_width_mm(derived)) / 2
        why = f"{thick}, wide ({body.width_mm:g} + {over_mm:g} − core {neck_width_mm(derived):.1f}) ÷ 2"
        return Blank(f"{body.wood} wings", 2, thickness_mm, width_mm, length_mm, why, left_l)
    why = f"{thick}, wide ({body.width_mm:g} + {over_mm:g}) ÷ {body.pieces}"
    width_mm = (body.width_mm + over_mm) / body.pieces
    return Blank(f"{body.wood} body boards", body.pieces, thickness_mm, width_mm, length_mm, why, left_l)


def top_plates(derived: Derived) -> Blank:
    """Two bookmatched plates or leaves of the top."""
    body, final_mm, over_mm = derived.spec.body, top_thickness_mm(derived.spec), usual("top_over_width")
    planed_mm = 0.0 if body.top == "veneer" else usual("top_over_thickness")
    width_mm = body.width_mm / 2 + over_mm
    why = f"{final_mm:g} + {planed_mm:g} mm thick, wide {body.width_mm:g} ÷ 2 + {over_mm:g}"
    size = (final_mm + planed_mm, width_mm, body_length_mm(derived))
    return Blank(f"{seen_wood(derived.spec)} top plates", 2, *size, why, finished_l(derived, "top"))


def accent(derived: Derived) -> Blank:
    """Two leaves of the accent veneer under the top."""
    body = derived.spec.body
    width_mm = body.width_mm / 2 + usual("top_over_width")
    why = f"two leaves, wide {body.width_mm:g} ÷ 2 + {usual('top_over_width'):g}"
    return Blank(body.accent, 2, usual("accent_veneer_thickness"), width_mm, body_length_mm(derived), why)


def neck_width_mm(derived: Derived) -> float:
    """Width in mm of the glued neck blank: the board's widest and its allowance."""
    return max(derived.board.width_nut_mm, derived.board.width_end_mm) + usual("neck_over_width")


def neck_length_mm(derived: Derived) -> float:
    """Length in mm of the neck blank: through the body, or from the heel to the end of the headstock."""
    neck = derived.spec.neck
    if neck.construction == "neck-through":
        return derived.spec.scale.bass_mm + usual("neck_through_past_scale")
    past = "neck_past_board_headless" if neck.headstock == "headless" else "neck_past_board_headstock"
    return derived.board.length_mm + usual(past)


def neck_thickness_mm(spec: BuildSpec) -> float:
    """Depth in mm of the finished neck blank."""
    through = spec.neck.construction == "neck-through"
    return usual("neck_thickness_through" if through else "neck_thickness_bolt_on")


def neck_strips(derived: Derived) -> list[Blank]:
    """Strips of each wood of the neck, 3 mm over; two woods alternate and the first lies outside."""
    neck, over_mm = derived.spec.neck, usual("neck_strip_over")
    woods = neck.wood.split(" and ")
    shares = [neck.pieces] if len(woods) == 1 else [neck.pieces - neck.pieces // 2, neck.pieces // 2]
    strip_mm = neck_width_mm(derived) / neck.pieces
    why = f"blank {neck_width_mm(derived):.1f} mm wide in {neck.pieces} strips, each {over_mm:g} mm over both ways"
    size = (neck_thickness_mm(derived.spec) + over_mm, strip_mm + over_mm, neck_length_mm(derived))
    pairs = zip(woods, shares, strict=True)
    left_l = finished_l(derived, "neck")
    return [
        Blank(f"{wood} neck strips", pieces, *size, why, None if left_l is None else left_l * pieces / neck.pieces)
        for wood, pieces in pairs
        if pieces
    ]


def fingerboard_blank(derived: Derived) -> Blank:
    """The blank that holds the board with both slanted ends from edge to edge, and its waste past them."""
    board, blank = derived.spec.fingerboard, board_blank(derived)
    why = (
        f"slanted ends from edge to edge of the blank {blank.length_mm - 2 * BLANK_WASTE_MM:.1f} mm, "
        f"{BLANK_WASTE_MM:g} mm each end"
    )
    thickness_mm = board.thickness_mm + usual("board_over_thickness")
    size, item = (thickness_mm, blank.width_mm, blank.length_mm), f"{board.wood} fingerboard blank"
    return Blank(item, 1, *size, why, finished_l(derived, "fingerboard"))


def headplate(spec: BuildSpec) -> Blank:
    """The leaf on the face of the headstock."""
    wood = spec.body.top_wood if spec.finish.headstock_face == "veneer matched to top" else "plain"
    size = (usual("headplate_thickness"), usual("headplate_width"), usual("headplate_length"))
    return Blank(f"{wood} headplate", 1, *size, "usual size")
