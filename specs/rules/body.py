"""Rules of the body: boards, tops, carves, thickness and the weight they lead to."""

from __future__ import annotations

from specs.rules.ordered import INCH_MM, Ordered
from specs.rules.rule import ERROR, WARNING, Answer, over, rule, under
from specs.wood.faces import DARK_WOODS, HEAVY_WOODS, PUNKY_TOPS, SOFT_TOPS, seen_wood, top_thickness_mm
from specs.wood.movement import growth_mm, shrinkages

CLEAR_BOARD_MM, TRIM_MM = 350.0, 15.0
MOVING_WOODS = ("maple", "basswood")
DRY_TO_DAMP_PCT = (6.0, 10.0)
LIGHT_BODY_KG = 1.7


@rule("one-piece-too-wide", ERROR, "body.pieces",
      "A one-piece body needs a clear board {figure} wide; few reach 350 mm, and they cup most. Choose two "
      "pieces.", unit="mm")  # fmt: skip
def one_piece_too_wide(order: Ordered) -> Answer:
    needed = order.spec.body.width_mm + TRIM_MM
    return _one_board(order) and over(needed, CLEAR_BOARD_MM) and needed


@rule("one-piece-moves", WARNING, "body.pieces",
      "A flat-sawn board this wide in this wood moves {figure} between 6 and 10 % of moisture. Use two or three "
      "pieces.", source="computed; USDA Wood Handbook, Eq 13-2", unit="mm")  # fmt: skip
def one_piece_moves(order: Ordered) -> Answer:
    body = order.spec.body
    moves = _one_board(order) and body.wood in MOVING_WOODS and body.wood in shrinkages()
    return moves and growth_mm(body.wood, "flat", body.width_mm, *DRY_TO_DAMP_PCT)


def _one_board(order: Ordered) -> bool:
    return order.spec.body.pieces == 1 and order.spec.neck.construction == "bolt-on"


@rule("over-weight-ceiling", WARNING, "body.weight_ceiling_kg",
      "The finished instrument is forecast at {figure}, over its ceiling: the board's density decides before any tool "
      "touches it. Offer chambering or a lighter board, and weigh the real board.", unit="kg")  # fmt: skip
def over_weight_ceiling(order: Ordered) -> Answer:
    ceiling, told = order.spec.body.weight_ceiling_kg, order.forecast
    over_it = ceiling is not None and told is not None and told.usual_kg > ceiling + 0.1
    return told is not None and over_it and told.usual_kg


@rule("heavy-wood-not-chambered", WARNING, "body.chambering",
      "A solid body of this wood makes an instrument of about {figure}. Chamber it, or choose a lighter wood.",
      unit="kg")  # fmt: skip
def heavy_wood_not_chambered(order: Ordered) -> Answer:
    body, told = order.spec.body, order.forecast
    heavy = body.wood in HEAVY_WOODS and body.chambering == "solid"
    return heavy and (body.wood if told is None else told.usual_kg)


@rule("neck-dive", WARNING, "hardware.tuners",
      "A body of about {figure} does not hold up a neck this long. Use ultralight tuners and carry the upper horn to "
      "fret 12.", unit="kg")  # fmt: skip
def neck_dive(order: Ordered) -> Answer:
    spec, told = order.spec, order.forecast
    heavy_end = not order.headless and spec.hardware.tuners == "standard"
    long = spec.body.chambering != "solid" and not under(spec.scale.bass_mm, 36 * INCH_MM)
    light = told is not None and told.body_kg < LIGHT_BODY_KG
    return heavy_end and long and told is not None and light and told.body_kg


@rule("hangs-neck-down", WARNING, "hardware.tuners",
      "The balance point lies {figure} before the strap button of the horn, so the neck drops. Lighten the headstock, "
      "choose a heavier body, or draw the horn longer.",
      source="computed: centre of mass of the parts; masses common practice", unit="mm")  # fmt: skip
def hangs_neck_down(order: Ordered) -> Answer:
    hanging = order.hanging
    return hanging is not None and hanging.usual.drops == "neck" and hanging.buttons[0][0] - hanging.usual.x_mm


@rule("carve-through-top", ERROR, "body.carve_depth",
      "A carve {figure} deep leaves less than 2 mm of top, and the core shows as a ring. Use a top of 12 to 16 mm, "
      "or bend a veneer over the forearm.", unit="mm")  # fmt: skip
def carve_through_top(order: Ordered) -> Answer:
    body = order.spec.body
    through = over(body.carve_depth_mm, top_thickness_mm(order.spec) - 2.0)
    return body.top != "none" and body.carve_depth_mm > 0 and through and body.carve_depth_mm


@rule("carved-veneer", ERROR, "body.top_thickness",
      "A top of {figure} is sanded through wherever the body is carved. Bend the veneer over the forearm, leave the "
      "face flat, or take a thicker top.", unit="mm")  # fmt: skip
def carved_veneer(order: Ordered) -> Answer:
    body, thickness = order.spec.body, top_thickness_mm(order.spec)
    carved = body.top == "carved" or body.carve_depth_mm > 0 or body.forearm == "carved"
    return body.top != "none" and under(thickness, 2.0) and carved and thickness


@rule("natural-edge-thin-top", ERROR, "body.top_thickness",
      "A natural edge is a clean strip of the top, and a top of {figure} gives none. Take 5 mm or more.",
      unit="mm")  # fmt: skip
def natural_edge_thin_top(order: Ordered) -> Answer:
    body, thickness = order.spec.body, top_thickness_mm(order.spec)
    return body.edge == "natural-edge" and body.top != "none" and under(thickness, 5.0) and thickness


@rule("natural-edge-dark-wood", ERROR, "body.edge",
      "A natural edge must be clean pale wood, and {figure} is dark. Choose a pale top, or another edge.")  # fmt: skip
def natural_edge_dark_wood(order: Ordered) -> Answer:
    wood = seen_wood(order.spec)
    return order.spec.body.edge == "natural-edge" and wood in DARK_WOODS and wood


@rule("punky-top", WARNING, "body.top_wood",
      "Soft zones of {figure} drink glue and finish, and its dust is allergenic. Seal with epoxy first: 3 days more; "
      "wear a fitted dust mask.")  # fmt: skip
def punky_top(order: Ordered) -> Answer:
    body = order.spec.body
    return body.top != "none" and body.top_wood in PUNKY_TOPS and body.top_wood


@rule("soft-top-under-bridge", WARNING, "body.top_wood",
      "Base plates of single bridges sink into {figure}. Set hardwood blocks under them.")  # fmt: skip
def soft_top_under_bridge(order: Ordered) -> Answer:
    body, single = order.spec.body, order.spec.bridge.kind != "one-piece plate"
    return body.top != "none" and single and body.top_wood in SOFT_TOPS and body.top_wood


@rule("thin-body-two-boxes", WARNING, "body.thickness",
      "Battery boxes are 25 to 30 mm deep and need walls: two of them are tight in a body of {figure}. Take 38 mm or "
      "more, or one box of another shape.", unit="mm")  # fmt: skip
def thin_body_two_boxes(order: Ordered) -> Answer:
    thickness = order.spec.body.thickness_mm
    return order.spec.electronics.battery_boxes == 2 and under(thickness, 38.0) and thickness


@rule("face-over-pot-shaft", WARNING, "electronics.face_at_controls",
      "A face of {figure} at the control cavity is too thick for short pot shafts; the nut will not catch. Leave 4 to "
      "6 mm, or order long shafts.", unit="mm")  # fmt: skip
def face_over_pot_shaft(order: Ordered) -> Answer:
    electronics = order.spec.electronics
    thick = over(electronics.face_at_controls_mm, 7.0)
    return thick and not electronics.long_shafts and electronics.face_at_controls_mm
