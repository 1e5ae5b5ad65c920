"""Rules of bridge, tuners, metal and the strings that must pass through them."""

from __future__ import annotations

from specs.materials.parts import winding_length_mm
from specs.rules.ordered import INCH_MM, Ordered
from specs.rules.rule import ERROR, NOTE, WARNING, Answer, over, rule, under

SHORT_RADIUS_MM = 12 * INCH_MM
TUNER_SLOT_MM, ANCHOR_MM = 0.135 * INCH_MM, 0.145 * INCH_MM
GROUNDED = (
    "Wire paths and ground path drilled", "Dry assembly, bridge location and drilling", "Hardware fitting",
    "Harness installed and grounded",
)  # fmt: skip
STOCK_SETS_IN = {
    (28, 33, 38, 43): (0.105, 0.085, 0.065, 0.045),
    (23, 28, 33, 38, 43): (0.130, 0.105, 0.085, 0.065, 0.045),
    (23, 28, 33, 38, 43, 48): (0.130, 0.105, 0.085, 0.065, 0.045, 0.032),
}
"""The stock set of each usual tuning, in inches from bass to treble (common practice); notes as A4 = 69."""


@rule("through-body-adds-length", WARNING, "bridge.kind",
      "Strings through the body need 35 to 45 mm more behind the saddle, on a bass scale of {figure}. Order extra-long "
      "strings, or anchor them at the bridge.", unit="mm")  # fmt: skip
def through_body_adds_length(order: Ordered) -> Answer:
    bass = order.spec.scale.bass_mm
    return order.spec.bridge.kind == "single units through body" and over(bass, 35 * INCH_MM) and bass


@rule("single-units-need-common-ground", NOTE, "bridge.kind",
      "{figure} need one common ground: a strip, or one wire to each base, bared where it is coated or anodised. Write "
      "down the method; the task is not done without it.", operations=GROUNDED)  # fmt: skip
def single_units_need_common_ground(order: Ordered) -> Answer:
    kind = order.spec.bridge.kind
    return kind != "one-piece plate" and kind.capitalize()


@rule("one-metal-colour", WARNING, "hardware.bridge_colour",
      "Metal in two colours ({figure}) looks like a mistake unless ordered so. Ask the customer, screws and jack "
      "included.")  # fmt: skip
def one_metal_colour(order: Ordered) -> Answer:
    hardware = order.spec.hardware
    return hardware.colour != hardware.bridge_colour and f"{hardware.colour} and {hardware.bridge_colour}"


@rule("plating-wears", WARNING, "hardware.colour",
      "{figure} plating wears with playing and carries no warranty. Say so on the order.")  # fmt: skip
def plating_wears(order: Ordered) -> Answer:
    worn = [c for c in (order.spec.hardware.colour, order.spec.hardware.bridge_colour) if c in ("gold", "black")]
    return bool(worn) and worn[0].capitalize()


@rule("gauge-over-tuner-slot", ERROR, "strings.gauges",
      "A lowest string of {figure} does not pass a standard tuner slot, which takes 3.43 mm (.135 in). Order the wide "
      "slot, or a taper-core string.", unit="mm")  # fmt: skip
def gauge_over_tuner_slot(order: Ordered) -> Answer:
    gauge = max(order.spec.strings.gauges_mm)
    standard = not order.headless and not order.spec.hardware.wide_tuner_slot
    return standard and over(gauge, TUNER_SLOT_MM) and gauge


@rule("gauge-over-anchor", ERROR, "strings.gauges",
      "A lowest string of {figure} does not pass saddle and anchor, which take 3.68 mm (.145 in). Use a lighter or a "
      "taper-core string.", unit="mm")  # fmt: skip
def gauge_over_anchor(order: Ordered) -> Answer:
    gauge = max(order.spec.strings.gauges_mm)
    return over(gauge, ANCHOR_MM) and gauge


@rule("set-needs-its-own-nut", WARNING, "strings.gauges",
      "This set is not the stock set of its tuning (largest difference {figure}); slots that differ by over 0.10 mm "
      "need their own nut, and four strings from low B always do.", unit="mm")  # fmt: skip
def set_needs_its_own_nut(order: Ordered) -> Answer:
    stock, gauges = STOCK_SETS_IN.get(order.notes), order.spec.strings.gauges_mm
    if stock is None:
        return "no stock set for this tuning"
    furthest = max(abs(gauge - inches * INCH_MM) for gauge, inches in zip(gauges, stock, strict=True))
    return over(furthest, 0.10) and furthest


@rule("flat-or-tape-and-pickups", WARNING, "strings.winding",
      "{figure} strings over magnetic pickups: a steel core sounds, a nylon core does not. Check the core with the "
      "string's maker.")  # fmt: skip
def flat_or_tape_and_pickups(order: Ordered) -> Answer:
    winding = order.spec.strings.winding
    return winding in ("flat", "tape") and bool(order.spec.pickups or order.spec.bridge.piezo) and winding.capitalize()


@rule("scale-too-long-for-winding", ERROR, "strings.winding_length",
      "The longest string needs {figure} of winding from its anchor to past the nut, more than this set has: taper or "
      "silk lands on the nut. Order an extra-long set, or single strings.", source="computed", unit="mm")  # fmt: skip
def scale_too_long_for_winding(order: Ordered) -> Answer:
    wound = order.spec.strings.winding_length_mm
    needed = max(winding_length_mm(order.derived, string) for string in order.derived.strings)
    return wound is not None and under(wound, needed) and needed


@rule("radius-without-saddle-travel", WARNING, "bridge.height_travel",
      "A radius of {figure} needs saddles at different heights, and this bridge has no height travel. Order saddles "
      "with travel, or a board of 12 in (305 mm) radius and more.", unit="mm")  # fmt: skip
def radius_without_saddle_travel(order: Ordered) -> Answer:
    board = order.spec.fingerboard
    radii = [radius for radius in (board.radius_nut_mm, board.radius_end_mm) if radius is not None]
    flat_units = not order.spec.bridge.height_travel and bool(radii)
    return flat_units and under(min(radii), SHORT_RADIUS_MM) and min(radii)


@rule("strings-overlap-at-bridge", ERROR, "bridge.spread",
      "Two strings stand {figure} apart, edge to edge, at the bridge: they overlap. Widen the spread, or space it by "
      "equal gaps.", source="computed", unit="mm")  # fmt: skip
def strings_overlap_at_bridge(order: Ordered) -> Answer:
    return under(order.bridge_gap_mm, 0.0) and order.bridge_gap_mm
