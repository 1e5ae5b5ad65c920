"""Rules of the neck: its wood and glue, the bars inside it, its construction and its headstock."""

from __future__ import annotations

from specs.rules.ordered import INCH_MM, Ordered
from specs.rules.rule import ERROR, NOTE, PRACTICE, WARNING, Answer, At, rule, under

DENSE_LAMINATES = ("wenge", "maple and wenge")
HEADSTOCK_CHOICES = {
    "neck.headplate": lambda spec: spec.neck.headplate,
    "neck.ears": lambda spec: spec.neck.ears,
    "neck.string_retainers": lambda spec: spec.neck.string_retainers,
    "finish.headstock_face": lambda spec: spec.finish.headstock_face != "natural",
    "hardware.drop_tuner": lambda spec: spec.hardware.drop_tuner,
    "hardware.wide_tuner_slot": lambda spec: spec.hardware.wide_tuner_slot,
}


@rule("bars-for-long-or-wide-neck", WARNING, "neck.stiffening_bars",
      "Six strings or a bass scale of 36 in and more pull unevenly, here {figure} in all, and twist a neck with one "
      "rod alone. Add two bars.", source="computed", unit="N")  # fmt: skip
def bars_for_long_or_wide_neck(order: Ordered) -> Answer:
    spec = order.spec
    needs = spec.strings.count >= 6 or not under(spec.scale.bass_mm, 36 * INCH_MM)
    return needs and not spec.neck.stiffening_bars and order.derived.tension.total_n


@rule("roasted-neck-is-brittle", WARNING, "neck.wood",
      "{figure} is brittle across the grain: screws strip and the heel splits. Use a two-way rod, larger waxed pilots, "
      "inserts with machine screws and bars, and never force a screw.",
      source="published builder notes (brittleness, stripping); common practice")  # fmt: skip
def roasted_neck_is_brittle(order: Ordered) -> Answer:
    wood = order.spec.neck.wood
    return wood == "roasted maple" and wood


@rule("roasted-wood-glue-up", WARNING, "neck.glue",
      "Roasted wood is dry and slows water-based {figure}. Clamp 2 to 4 h in a warm room, or use epoxy.")  # fmt: skip
def roasted_wood_glue_up(order: Ordered) -> Answer:
    neck = order.spec.neck
    return neck.wood == "roasted maple" and neck.glue == "PVA" and neck.glue


@rule("dense-laminates-glue-prep", WARNING, "neck.glue",
      "Oily or dense laminates ({figure}) reject PVA from an old surface. Wipe with acetone on a fresh surface, or use "
      "epoxy; acetone needs gloves, air and no flame.",
      source="glue maker's guide (acetone wipe); USDA Wood Handbook table 10-1")  # fmt: skip
def dense_laminates_glue_prep(order: Ordered) -> Answer:
    neck = order.spec.neck
    return neck.wood in DENSE_LAMINATES and neck.glue == "PVA" and neck.wood


@rule("flat-sawn-one-piece-neck", WARNING, "neck.grain",
      "A one-piece flat-sawn neck for {figure} strings moves with the season. Choose quarter-sawn, or laminated with "
      "bars.")  # fmt: skip
def flat_sawn_one_piece_neck(order: Ordered) -> Answer:
    neck, strings = order.spec.neck, order.spec.strings.count
    return neck.pieces == 1 and neck.grain == "flat-sawn" and strings > 4 and strings


@rule("neck-through-waits-for-bridge", NOTE, "neck.construction",
      "Neck set-over is cut at wing glue-up: hold that task until the bridge is in hand and measured.",
      operations=("Wing glue-up to neck-through core",))  # fmt: skip
def neck_through_waits_for_bridge(order: Ordered) -> Answer:
    return order.spec.neck.construction == "neck-through"


@rule("headless-without-headstock-options", ERROR, "neck.headstock",
      "A headless neck has no {figure}. Leave that out, or order a headstock.")  # fmt: skip
def headless_without_headstock_options(order: Ordered) -> Answer:
    chosen = (field for field, is_chosen in HEADSTOCK_CHOICES.items() if order.headless and is_chosen(order.spec))
    return next((At(field, field.split(".")[1].replace("_", " ")) for field in chosen), None)


@rule("headless-needs-its-units", WARNING, "bridge.kind",
      "A headless neck is tuned at the bridge, which {figure} cannot do. Order headless single units, with double-ball "
      "strings or a clamp at the nut.")  # fmt: skip
def headless_needs_its_units(order: Ordered) -> Answer:
    kind = order.spec.bridge.kind
    return order.headless and kind != "headless single units" and kind


@rule("tuners-match-strings", ERROR, "neck.tuner_layout",
      "{figure} tuners do not serve the strings ordered. Choose a layout with one tuner a string.")  # fmt: skip
def tuners_match_strings(order: Ordered) -> Answer:
    layout, strings = order.spec.neck.tuner_layout, order.spec.strings.count
    posts = sum(map(int, layout.split("+"))) if "+" in layout else 0
    return not order.headless and strings in (4, 5, 6) and posts != strings and layout


@rule("six-tuners-in-line", WARNING, "neck.tuner_layout",
      "{figure} makes a headstock of 280 mm and more: case length suffers and the neck dives. Choose 3+3 or "
      "4+2.")  # fmt: skip
def six_tuners_in_line(order: Ordered) -> Answer:
    layout = order.spec.neck.tuner_layout
    return not order.headless and layout == "6+0" and layout


@rule("left-handed-mirrors-everything", NOTE, "hand",
      "LEFT-HANDED: fan, headstock, controls and nut are mirrored in every drawing; stock necks do not fit. A second "
      "person checks the side before anything is cut. Ask the larger deposit.",
      source=PRACTICE, operations=(
          "Deposit received and place in the build line given", "Scale and layout drawing", "Fret slotting",
          "Body machining (outline, neck pocket, cavities)", "Neck-through body cavities and outline",
          "Tuner holes and string-path check", "Nut seat cut, nut blank fitted and roughly slotted",
          "Final measured inspection"))  # fmt: skip
def left_handed_mirrors_everything(order: Ordered) -> Answer:
    return order.spec.hand == "left"
