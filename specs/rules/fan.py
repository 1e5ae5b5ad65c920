"""Rules of the scale pair and its fan: which end is longer, how steep nut, frets and bridge become."""

from __future__ import annotations

from specs.rules.ordered import INCH_MM, Ordered
from specs.rules.rule import COMPUTED, ERROR, NOTE, TOLERANCE, WARNING, Answer, over, rule, under

B0, C3 = 23, 48
STEEPEST_DEG, STEEP_DEG = 42.0, 37.0
NUT_LIMIT_DEG, NUT_STEEP_DEG = 40.0, 35.0
EXTREME_FRET_DEG = 30.0
NUT_BENCH = ("Nut seat cut, nut blank fitted and roughly slotted", "Nut slots cut")


@rule("bass-shorter-than-treble", ERROR, "scale.bass",
      "The bass scale of {figure} is shorter than the treble scale: wrong way round, or left and right mixed up. "
      "Exchange the two.", unit="mm")  # fmt: skip
def bass_shorter_than_treble(order: Ordered) -> Answer:
    scale = order.spec.scale
    return under(scale.bass_mm, scale.treble_mm) and scale.bass_mm


@rule("equal-scales", WARNING, "scale.treble",
      "Both scales are {figure}: there is no fan. Take a standard-scale drawing.", unit="mm")  # fmt: skip
def equal_scales(order: Ordered) -> Answer:
    scale = order.spec.scale
    return abs(scale.bass_mm - scale.treble_mm) <= TOLERANCE and scale.treble_mm


@rule("fan-too-steep", ERROR, "scale",
      "The steeper of nut and bridge stands {figure} off square, over 42°: frets there become unplayable, and slots, "
      "nut and bridge cannot be cut cleanly. Bring the scales closer together, or move the perpendicular fret.",
      source="computed angle; threshold common practice", unit="°")  # fmt: skip
def fan_too_steep(order: Ordered) -> Answer:
    return over(order.steepest_deg, STEEPEST_DEG) and order.steepest_deg


@rule("fan-steep", WARNING, "scale",
      "The steeper of nut and bridge stands {figure} off square, over 37°: the hand tires at that end, and nut slots "
      "and tuner layout suffer. Let the customer try such an angle first.",
      source="computed angle; threshold common practice", unit="°")  # fmt: skip
def fan_steep(order: Ordered) -> Answer:
    steep = over(order.steepest_deg, STEEP_DEG) and not over(order.steepest_deg, STEEPEST_DEG)
    return steep and order.steepest_deg


@rule("perpendicular-fret-outside", WARNING, "scale.perpendicular_fret",
      "Fret {figure} square to the centre line: under 5 the bridge end is steep, over 12 the nut end. A square nut "
      "with a small difference is a legitimate wish; look at the angles.", source="computed")  # fmt: skip
def perpendicular_fret_outside(order: Ordered) -> Answer:
    fret = order.spec.scale.perpendicular_fret
    return (fret < 5 or fret > 12) and fret


@rule("nut-too-steep", ERROR, "scale.perpendicular_fret",
      "The nut stands {figure} off square, over the limit of 40°. Move the perpendicular fret toward the nut, or bring "
      "the scales closer together.", source=COMPUTED, unit="°")  # fmt: skip
def nut_too_steep(order: Ordered) -> Answer:
    return over(order.nut_deg, NUT_LIMIT_DEG) and order.nut_deg


@rule("nut-steep", NOTE, "scale.perpendicular_fret",
      "The nut stands {figure} off square: nut slots, tuner layout and the hand in first position all suffer. Cut "
      "every slot along its own string.",
      source="computed", unit="°", operations=(*NUT_BENCH, "Tuner holes and string-path check"))  # fmt: skip
def nut_steep(order: Ordered) -> Answer:
    return over(order.nut_deg, NUT_STEEP_DEG) and not over(order.nut_deg, NUT_LIMIT_DEG) and order.nut_deg


@rule("nut-longer-on-the-slant", NOTE, "nut.spread",
      "Nut width is measured square to the centre line; along the slanted nut it reads {figure}.",
      source="computed", unit="mm", operations=NUT_BENCH)  # fmt: skip
def nut_longer_on_the_slant(order: Ordered) -> Answer:
    return order.on_a_fan and order.derived.frets[0].slot_mm


@rule("bridge-needs-single-units", ERROR, "bridge.kind",
      "The bridge line stands {figure} off square; a straight one-piece plate covers no more than about 5°. Choose "
      "single units.", unit="°")  # fmt: skip
def bridge_needs_single_units(order: Ordered) -> Answer:
    plate = order.spec.bridge.kind == "one-piece plate"
    return plate and over(order.bridge_deg, 5.0) and order.bridge_deg


@rule("low-tuning-needs-length", WARNING, "scale.bass",
      "A bass scale of {figure} is short for this lowest note: the string is floppy and its pitch poor. Take 34 in or "
      "more for B0, 36 in or more below it.", unit="mm")  # fmt: skip
def low_tuning_needs_length(order: Ordered) -> Answer:
    lowest, bass = min(order.notes), order.spec.scale.bass_mm
    needed_in = 36 if lowest < B0 else 34 if lowest == B0 else 0
    return under(bass, needed_in * INCH_MM) and bass


@rule("high-c-wants-short-scale", WARNING, "scale.treble",
      "A high C on a treble scale of {figure} feels close to breaking. Stay at 34 in or less, with a string of .028 to "
      ".032 in.", unit="mm")  # fmt: skip
def high_c_wants_short_scale(order: Ordered) -> Answer:
    treble = order.spec.scale.treble_mm
    return max(order.notes) >= C3 and over(treble, 34 * INCH_MM) and treble


@rule("single-strings-for-wide-pair", NOTE, "scale",
      "The scales differ by {figure}, and ready sets are wound for one scale. Order single strings.",
      unit="mm", operations=("Long-lead parts ordered", "Stringing and first tension"))  # fmt: skip
def single_strings_for_wide_pair(order: Ordered) -> Answer:
    difference = order.spec.scale.bass_mm - order.spec.scale.treble_mm
    return difference > 3 * INCH_MM - TOLERANCE and difference


@rule("acute-fret-ends", NOTE, "scale",
      "A fret stands {figure} off square: its ends are sharp and the outer string slips at the edge. Keep an edge "
      "margin of 3.5 mm or more and round the fret ends.",
      unit="°", operations=("Fretting", "Fret end bevel and dressing"))  # fmt: skip
def acute_fret_ends(order: Ordered) -> Answer:
    return order.fretted and over(order.steepest_fret_deg, EXTREME_FRET_DEG) and order.steepest_fret_deg


@rule("stainless-on-extreme-fan", WARNING, "fingerboard.wire_metal",
      "Stainless wire on frets that stand {figure} off square adds 30 to 50 % to the fret work. Price it, or choose "
      "nickel silver.", unit="°")  # fmt: skip
def stainless_on_extreme_fan(order: Ordered) -> Answer:
    stainless = order.fretted and order.spec.fingerboard.wire_metal == "stainless"
    return stainless and over(order.steepest_fret_deg, EXTREME_FRET_DEG) and order.steepest_fret_deg


@rule("bound-slanted-frets", WARNING, "fingerboard.binding",
      "Tangs are nipped at a slant of {figure} over the binding: 1 to 1.5 h more.", unit="°")  # fmt: skip
def bound_slanted_frets(order: Ordered) -> Answer:
    bound = order.fretted and order.spec.fingerboard.binding != "none"
    return bound and over(order.steepest_fret_deg, 25.0) and order.steepest_fret_deg
