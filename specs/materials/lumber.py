"""Wood to have in the rack: every blank with its allowances, as pieces to cut and as volume to buy."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians

from specs.derived import Derived, Material
from specs.document import BuildSpec
from specs.figures import board_feet
from specs.materials.consumables import usual
from specs.wood.faces import top_thickness_mm

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
    def size(self) -> str:
        """Pieces and size as a rack label says them."""
        sides = (self.thickness_mm, self.width_mm, self.length_mm)
        return f"{self.pieces} × " + " × ".join(f"{side:.1f}".removesuffix(".0") for side in sides) + " mm"

    def bought_by_volume(self) -> Material:
        """The line of lumber, in board feet."""
        how = f"{self.size} = {self.litres:.2f} litres; {self.why}"
        return Material("wood", f"{self.item}, {self.size}", self.board_feet, "board feet", how)

    def bought_by_piece(self) -> Material:
        """The line of a blank or plate that is sold by the piece."""
        how = f"{self.litres:.3f} litres, {self.board_feet:.3f} board feet; {self.why}"
        return Material("wood", f"{self.item}, {self.size}", self.pieces, "pieces", how)


def lumber(derived: Derived) -> list[Material]:
    """Body boards, top, accent, neck strips, fingerboard blank and headplate, with their allowances in mm."""
    spec = derived.spec
    bought = [body_boards(derived).bought_by_volume()]
    bought += [top_plates(spec).bought_by_piece()] if spec.body.top != "none" else []
    bought += [accent(spec).bought_by_piece()] if spec.body.accent != "none" else []
    bought += [blank.bought_by_volume() for blank in neck_strips(derived)]
    bought += [fingerboard_blank(derived).bought_by_piece()]
    return bought + ([headplate(spec).bought_by_piece()] if spec.neck.headplate else [])


def body_boards(derived: Derived) -> Blank:
    """The boards of the body, or the two wings of a neck-through; thickness is the body's less its top."""
    body, over_mm = derived.spec.body, usual("body_board_over_width")
    core_mm = body.thickness_mm - top_thickness_mm(derived.spec)
    thickness_mm, length_mm = core_mm + usual("body_board_over_thickness"), usual("body_blank_length")
    thick = f"{core_mm:g} + {usual('body_board_over_thickness'):g} mm thick"
    if derived.spec.neck.construction == "neck-through":
        width_mm = (body.width_mm + over_mm - neck_width_mm(derived)) / 2
        why = f"{thick}, wide ({body.width_mm:g} + {over_mm:g} − core {neck_width_mm(derived):.1f}) ÷ 2"
        return Blank(f"{body.wood} wings", 2, thickness_mm, width_mm, length_mm, why)
    why = f"{thick}, wide ({body.width_mm:g} + {over_mm:g}) ÷ {body.pieces}"
    width_mm = (body.width_mm + over_mm) / body.pieces
    return Blank(f"{body.wood} body boards", body.pieces, thickness_mm, width_mm, length_mm, why)


def top_plates(spec: BuildSpec) -> Blank:
    """Two bookmatched plates or leaves of the top."""
    body, final_mm, over_mm = spec.body, top_thickness_mm(spec), usual("top_over_width")
    planed_mm = 0.0 if body.top == "veneer" else usual("top_over_thickness")
    width_mm = body.width_mm / 2 + over_mm
    why = f"{final_mm:g} + {planed_mm:g} mm thick, wide {body.width_mm:g} ÷ 2 + {over_mm:g}"
    return Blank(f"{body.top_wood} top plates", 2, final_mm + planed_mm, width_mm, usual("body_blank_length"), why)


def accent(spec: BuildSpec) -> Blank:
    """Two leaves of the accent veneer under the top."""
    width_mm = spec.body.width_mm / 2 + usual("top_over_width")
    why = f"two leaves, wide {spec.body.width_mm:g} ÷ 2 + {usual('top_over_width'):g}"
    thickness_mm = usual("accent_veneer_thickness")
    return Blank(spec.body.accent, 2, thickness_mm, width_mm, usual("body_blank_length"), why)


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
    return [Blank(f"{wood} neck strips", pieces, *size, why) for wood, pieces in pairs if pieces]


def fingerboard_blank(derived: Derived) -> Blank:
    """The blank that every slanted slot and the last fret's overhang fall on, corner to corner."""
    board, end_mm = derived.spec.fingerboard, usual("board_over_end")
    first, last = derived.frets[0], derived.frets[-1]
    overhang_mm = board.overhang_mm / cos(radians(last.angle_deg))
    span_mm = max(last.blank_x) + overhang_mm - min(first.blank_x)
    why = f"from the nut's to the last fret's far corner on the blank's edges {span_mm:.1f} mm, {end_mm:g} mm each end"
    thickness_mm = board.thickness_mm + usual("board_over_thickness")
    item = f"{board.wood} fingerboard blank"
    return Blank(item, 1, thickness_mm, board.blank_width_mm, span_mm + 2 * end_mm, why)


def headplate(spec: BuildSpec) -> Blank:
    """The leaf on the face of the headstock."""
    wood = spec.body.top_wood if spec.finish.headstock_face == "veneer matched to top" else "plain"
    size = (usual("headplate_thickness"), usual("headplate_width"), usual("headplate_length"))
    return Blank(f"{wood} headplate", 1, *size, "usual size")
