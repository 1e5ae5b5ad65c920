"""Rules of finish, colour and sheen: what a film or an oil can and cannot do on the wood under it."""

from __future__ import annotations

from specs.rules.ordered import Ordered
from specs.rules.rule import ERROR, WARNING, Answer, rule
from specs.vocabulary import OILY_WOODS, OPEN_PORED_WOODS, ROSEWOOD_FAMILY
from specs.wood.faces import DARK_WOODS, YELLOWING_WOODS, seen_wood

CURES_HARD = ("two-component", "partner polyester")


@rule("oil-under-shading", ERROR, "finish.colour",
      "A {figure} colour lives between clear coats; wiped oil drags and muddies it and gives it no protection. "
      "Choose a film finish, or natural or dyed under the oil.")  # fmt: skip
def oil_under_shading(order: Ordered) -> Answer:
    finish = order.spec.finish
    return finish.kind == "oil" and finish.colour in ("burst", "candy", "metallic", "fade") and finish.colour


@rule("oil-over-dye", WARNING, "finish.dye",
      "Oil-soluble and some alcohol dyes bleed into the oil. Use water dye with 24 h of drying, and a test board first "
      "(ordered: {figure}).")  # fmt: skip
def oil_over_dye(order: Ordered) -> Answer:
    finish = order.spec.finish
    return finish.kind == "oil" and finish.colour == "dyed" and finish.dye


@rule("solid-colour-needs-film", ERROR, "finish.colour",
      "Pigment has to be bound and covered, which oil cannot do. Choose a film finish for a {figure} "
      "colour.")  # fmt: skip
def solid_colour_needs_film(order: Ordered) -> Answer:
    finish = order.spec.finish
    return finish.kind == "oil" and finish.colour == "solid" and finish.colour


@rule("dark-satin-repair", WARNING, "finish.sheen",
      "Every touch polishes a dark {figure} surface bright, and no spot can be repaired. Tell the customer and price "
      "a full recoat.")  # fmt: skip
def dark_satin_repair(order: Ordered) -> Answer:
    finish = order.spec.finish
    dark = finish.colour != "natural" and finish.shade in ("black", "dark")
    return dark and finish.sheen in ("satin", "matt") and finish.sheen


@rule("gloss-needs-filling", WARNING, "finish.pores",
      "Unfilled pores of {figure} sink and telegraph through gloss. Plan grain filling: its labour and 2 to 7 days.",
      source="published woodworking guidance on oil-type filler (2-7 days); common practice")  # fmt: skip
def gloss_needs_filling(order: Ordered) -> Answer:
    finish, wood = order.spec.finish, seen_wood(order.spec)
    return finish.sheen == "gloss" and finish.pores == "closed" and wood in OPEN_PORED_WOODS and wood


@rule("open-pores-not-gloss", ERROR, "finish.sheen",
      "Wet sanding for {figure} packs open pores with white slurry. Choose satin, or closed pores.")  # fmt: skip
def open_pores_not_gloss(order: Ordered) -> Answer:
    finish = order.spec.finish
    return finish.pores == "open" and finish.sheen == "gloss" and finish.sheen


@rule("hard-film-on-oily-wood", ERROR, "finish.kind",
      "Extractives of {figure} stop the cure of this film, which stays soft. It needs an isolating coat first, or "
      "choose oil or another top.")  # fmt: skip
def hard_film_on_oily_wood(order: Ordered) -> Answer:
    wood = seen_wood(order.spec)
    return order.spec.finish.kind in CURES_HARD and wood in OILY_WOODS and wood


@rule("nitro-on-oily-wood", WARNING, "finish.kind",
      "{figure} bleeds into nitrocellulose and holds it badly; padauk and cocobolo stain binding and maple red. "
      "Seal with vinyl or shellac first.",
      source="lacquer makers' data (vinyl sealer first); common practice")  # fmt: skip
def nitro_on_oily_wood(order: Ordered) -> Answer:
    wood = seen_wood(order.spec)
    return order.spec.finish.kind == "nitrocellulose" and wood in (*ROSEWOOD_FAMILY, "padauk") and wood


@rule("nitro-over-plastic-binding", WARNING, "fingerboard.binding",
      "Solvents of the binding cement wrinkle the lacquer. Let {figure} binding cure 24 h at the least before "
      "nitrocellulose.")  # fmt: skip
def nitro_over_plastic_binding(order: Ordered) -> Answer:
    binding = order.spec.fingerboard.binding
    return order.spec.finish.kind == "nitrocellulose" and binding == "plastic" and binding


@rule("nitro-adds-weeks", WARNING, "finish.kind",
      "{figure} cures 2 to 4 weeks before levelling, stays softer and checks in the cold. Promise the later date and "
      "have the care leaflet signed.",
      source="lacquer makers' data (7 days minimum); published practice 2-4 weeks")  # fmt: skip
def nitro_adds_weeks(order: Ordered) -> Answer:
    kind = order.spec.finish.kind
    return kind == "nitrocellulose" and kind


@rule("nitro-and-rubber", WARNING, "hardware.straps",
      "Plasticiser in rubber stands and vinyl or leather straps softens {figure} lacquer. Say so on the care "
      "leaflet.")  # fmt: skip
def nitro_and_rubber(order: Ordered) -> Answer:
    kind = order.spec.finish.kind
    return kind == "nitrocellulose" and kind


@rule("pale-over-dark-wood", ERROR, "finish.shade",
      "Transparent colour can only darken, and {figure} is dark already. Choose a paler wood, a solid colour or a "
      "darker shade.")  # fmt: skip
def pale_over_dark_wood(order: Ordered) -> Answer:
    wood = seen_wood(order.spec)
    pale = order.transparent and order.spec.finish.shade in ("pale", "white")
    return pale and wood in DARK_WOODS and wood


@rule("blue-on-yellow-wood", WARNING, "finish.shade",
      "Blue over yellowing {figure}, or under amber lacquer, turns green. Use bleached wood and a clear that does not "
      "yellow.")  # fmt: skip
def blue_on_yellow_wood(order: Ordered) -> Answer:
    finish, wood = order.spec.finish, seen_wood(order.spec)
    blue = order.transparent and finish.shade == "blue"
    return blue and (wood in YELLOWING_WOODS or finish.kind == "nitrocellulose") and wood


@rule("dye-on-roasted-wood", WARNING, "finish.shade",
      "The brown ground of roasted wood kills a {figure} dye. Make a test board, or choose natural, brown or "
      "black.")  # fmt: skip
def dye_on_roasted_wood(order: Ordered) -> Answer:
    shade = order.spec.finish.shade
    roasted = order.transparent and seen_wood(order.spec).startswith("roasted")
    return roasted and shade not in ("wood", "black", "brown") and shade


@rule("burst-over-sharp-edge", WARNING, "body.edge",
      "The shade of the burst lands on the line of the {figure}. Agree a drawing with the customer.")  # fmt: skip
def burst_over_sharp_edge(order: Ordered) -> Answer:
    edge = order.spec.body.edge
    return order.spec.finish.colour == "burst" and edge == "bevel" and edge


@rule("metallic-needs-sample", WARNING, "finish.colour",
      "{figure} mottles: make a sample, allow 20 to 30 % more spray time, and say that no spot can be "
      "repaired.")  # fmt: skip
def metallic_needs_sample(order: Ordered) -> Answer:
    colour = order.spec.finish.colour
    return colour in ("metallic", "candy") and colour


@rule("film-on-oily-board", ERROR, "fingerboard.finish",
      "Oily {figure} sheds a film. Leave the board bare or oil it.")  # fmt: skip
def film_on_oily_board(order: Ordered) -> Answer:
    board = order.spec.fingerboard
    return board.finish == "film" and board.wood in (*OILY_WOODS, "wenge") and board.wood


@rule("bare-maple-board", ERROR, "fingerboard.finish",
      "Unsealed {figure} takes moisture, moves and greys; it is not warranted. Choose film or oil.")  # fmt: skip
def bare_maple_board(order: Ordered) -> Answer:
    board = order.spec.fingerboard
    return board.wood == "maple" and board.finish == "bare" and board.wood


@rule("finish-line-at-heel", WARNING, "neck.finish",
      "A gloss body with an {figure} neck in one piece needs a masked, feathered finish line at the heel: 2 h "
      "more.")  # fmt: skip
def finish_line_at_heel(order: Ordered) -> Answer:
    neck, finish = order.spec.neck, order.spec.finish
    gloss = finish.kind != "oil" and finish.sheen in ("gloss", "semi-gloss")
    return neck.construction == "neck-through" and gloss and neck.finish == "oil" and "oiled"
