"""Rules of the neck's ends: rod, screws and heel at the body, nut, posts and rod pocket at the headstock."""

from __future__ import annotations

from math import cos, hypot, log2, radians, sin

from specs.geometry.body import carves
from specs.geometry.headstock import LEAST_CLEARANCE_MM, MOST_SIDEWAYS_DEG
from specs.geometry.neck import ROD_TO_NUT_MM, rod_window
from specs.geometry.neck_bolts import rod_to_bolts_mm
from specs.rules.ordered import FLAT_FAN_DEG, Ordered
from specs.rules.rule import ERROR, WARNING, Answer, over, rule, under

POCKET_WIDTH_MM, POCKET_FROM_DEG = 12.0, 15.0
"""Width of a headstock adjuster's pocket, and the nut angle from which it matters. **Source**: common practice."""

ROD_TO_BOLT_MM, LONGEST_WITHOUT_RETAINER_MM, FREE_FRETS = 6.0, 150.0, 2.0


@rule("rod-short-of-fret-15", ERROR, "neck.truss_rod",
      "A rod of {figure} ends short of fret 15 and leaves the upper neck to bend alone. 580 to 620 mm suits 34-35 in, "
      "610 to 660 mm 36-37 in.", source="computed; common practice", unit="mm")  # fmt: skip
def rod_short_of_fret_15(order: Ordered) -> Answer:
    window, rod = rod_window(order.derived), order.spec.neck.truss_rod_mm
    return len(order.derived.frets) > 15 and under(rod, window.shortest_mm) and rod


@rule("rod-through-heel", ERROR, "neck.truss_rod",
      "A rod of {figure} comes nearer than 8 mm to the end of the heel. Choose a shorter one: 580 to 620 mm suits "
      "34-35 in.", source="computed; common practice", unit="mm")  # fmt: skip
def rod_through_heel(order: Ordered) -> Answer:
    longest, rod = rod_window(order.derived).longest_mm, order.spec.neck.truss_rod_mm
    return longest is not None and over(rod, longest) and rod


@rule("rod-near-neck-screw", ERROR, "neck.bolt_rows",
      "The rod's channel leaves {figure} of wood to a neck screw's hole, under 6 mm: the heel splits. Set the rows of "
      "screws further apart, or take a shorter rod.", source="computed; common practice", unit="mm")  # fmt: skip
def rod_near_neck_screw(order: Ordered) -> Answer:
    wood = rod_to_bolts_mm(order.derived)
    return wood is not None and under(wood, ROD_TO_BOLT_MM) and wood


@rule("rod-pocket-under-nut", ERROR, "neck.rod_shelf",
      "The rod's pocket comes {figure} from the slanted nut at its short side, where 3 mm are needed: it undercuts the "
      "nut's seat. Use a wheel at the body end, or leave a longer shelf.",
      source="computed; pocket 12 mm wide: common practice", unit="mm")  # fmt: skip
def rod_pocket_under_nut(order: Ordered) -> Answer:
    neck, nut = order.spec.neck, radians(order.nut_deg)
    at_head = neck.adjuster == "headstock" and not order.headless and over(order.nut_deg, POCKET_FROM_DEG)
    wood = neck.rod_shelf_mm * cos(nut) - POCKET_WIDTH_MM / 2 * sin(nut)
    return at_head and under(wood, ROD_TO_NUT_MM) and wood


@rule("string-clears-posts", ERROR, "neck.tuner_pitch",
      "A string passes another string's post at {figure}, under 2 mm: it rattles and hangs up in tuning. Set the posts "
      "further apart or further out.", source="computed; common practice", unit="mm")  # fmt: skip
def string_clears_posts(order: Ordered) -> Answer:
    least = min((path.clearance_mm for path in order.string_paths), default=LEAST_CLEARANCE_MM)
    return under(least, LEAST_CLEARANCE_MM) and least


@rule("string-turns-at-nut", ERROR, "neck.tuner_outward",
      "A string turns {figure} sideways at the nut, over 8°: it hangs up in tuning, and a slanted nut pulls the tuners "
      "toward the bass side. Bring the posts nearer to the strings' own lines.",
      source="computed; common practice", unit="°")  # fmt: skip
def string_turns_at_nut(order: Ordered) -> Answer:
    most = max((path.sideways_deg for path in order.string_paths), default=0.0)
    return over(most, MOST_SIDEWAYS_DEG) and most


@rule("flat-headstock-needs-retainers", WARNING, "neck.string_retainers",
      "On a flat headstock a post {figure} from the nut leaves under 5° of break angle. Add string retainers, or angle "
      "the headstock.", source="computed; common practice", unit="mm")  # fmt: skip
def flat_headstock_needs_retainers(order: Ordered) -> Answer:
    neck, nuts = order.spec.neck, {string.number: string.nut for string in order.derived.strings}
    away = [hypot(post.centre[0] - nuts[post.number][0], post.centre[1] - nuts[post.number][1]) for post in order.posts]
    bare = neck.headstock == "flat" and not neck.string_retainers and bool(away)
    return bare and over(max(away), LONGEST_WITHOUT_RETAINER_MM) and max(away)


@rule("heel-stops-upper-frets", WARNING, "body.heel",
      "On the treble side the heel leaves room for {figure} frets past the last one, under 2: the slanted last fret is "
      "out of the hand's reach. Order the heel access carve, a shorter pocket, or fewer frets.",
      source="computed from the body's drawing; common practice")  # fmt: skip
def heel_stops_upper_frets(order: Ordered) -> Answer:
    slanted = abs(order.derived.frets[-1].angle_deg) > FLAT_FAN_DEG
    room = frets_before_heel(order) if slanted and order.body else None
    return room is not None and under(room, FREE_FRETS) and room


def frets_before_heel(order: Ordered) -> float | None:
    """How many frets more the treble string has room for before the heel: to the end of its carve, else to the joint.

    None where the heel lies past the bridge.
    """
    derived, treble = order.derived, order.derived.strings[-1]
    joint = derived.board.length_mm - order.spec.neck.pocket_mm
    heel = max((x for carve in carves(derived) if carve.name == "heel" for x, _ in carve.outline), default=joint)
    left = (treble.bridge[0] - heel) / (treble.bridge[0] - treble.nut[0])
    return -12 * log2(left) - order.spec.fingerboard.frets if left > 0 else None


@rule("short-pocket-under-overhang", WARNING, "neck.pocket",
      "A board that runs {figure} past its last fret over a short pocket lets the heel flex. With 24 frets and more "
      "cut a pocket of 75 mm or longer.", unit="mm")  # fmt: skip
def short_pocket_under_overhang(order: Ordered) -> Answer:
    neck, board = order.spec.neck, order.spec.fingerboard
    short = neck.construction == "bolt-on" and board.frets >= 24 and under(neck.pocket_mm, 75.0)
    return short and over(board.overhang_mm, 25.0) and board.overhang_mm
