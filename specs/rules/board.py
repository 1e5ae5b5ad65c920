"""Rules of the fingerboard: its margins, frets or lines, the wood under the slots, inlay and room behind it."""

from __future__ import annotations

from specs.derived import Derived
from specs.geometry.crown import TANG_MM, crown_drop_mm, slot_depth_after_radius
from specs.rules.ordered import Ordered
from specs.rules.rule import COMPUTED, ERROR, WARNING, Answer, rule, under
from specs.wood.faces import SOFT_BOARDS

SHELL_MM, BRIDGE_ROOM_MM, GAP_MM = 38.0, 30.0, 3.0
FULL_SIZE = ("dual coil", "large dual coil")
LEAST_UNDER_SLOT_MM = 2.5
ROUND_WOUND = ("nickel-plated round", "stainless round")


@rule("edge-margin-at-last-fret", ERROR, "fingerboard.edge_margin_end",
      "An edge margin of {figure} at the last fret lets the outer string pull off the board. Leave 3.5 mm or more: a "
      "wider board or a narrower bridge spread.", unit="mm")  # fmt: skip
def edge_margin_at_last_fret(order: Ordered) -> Answer:
    margin = order.spec.fingerboard.edge_margin_end_mm
    return under(margin, 3.5) and margin


@rule("no-room-for-pickups", ERROR, "fingerboard.frets",
      "Only {figure} are left between the end of the board and the nearest saddle, too little for the pickups ordered "
      "with their gaps and the bridge. Take fewer frets or fewer pickups.",
      source="computed; typical shell 38 mm deep, bridge 30 mm, gaps 3 mm: common practice", unit="mm")  # fmt: skip
def no_room_for_pickups(order: Ordered) -> Answer:
    room, pickups = room_behind_board_mm(order.derived), order.spec.pickups
    needed = len(pickups) * (SHELL_MM + GAP_MM) + BRIDGE_ROOM_MM
    return bool(pickups) and under(room, needed) and room


def room_behind_board_mm(derived: Derived) -> float:
    """Shortest way in mm, along an outer string, from the end of the board to the string's bridge point."""
    last, overhang = derived.frets[-1], derived.spec.fingerboard.overhang_mm
    ends = ((derived.strings[0], last.from_nut_mm[0]), (derived.strings[-1], last.from_nut_mm[-1]))
    return min(string.scale_mm - from_nut_mm for string, from_nut_mm in ends) - overhang


@rule("many-frets-two-soapbars", WARNING, "fingerboard.frets",
      "{figure} frets leave no room on the treble side for two full-size pickups. Take one, or leave the neck pickup "
      "out.")  # fmt: skip
def many_frets_two_soapbars(order: Ordered) -> Answer:
    frets = order.spec.fingerboard.frets
    full_size = sum(pickup.kind in FULL_SIZE for pickup in order.spec.pickups)
    return frets > 24 and full_size >= 2 and frets


@rule("wood-under-slot", WARNING, "fingerboard.thickness",
      "Only {figure} of board are left under a fret slot at the edge: the neck snaps there and the rod works on glue. "
      "Take a thicker board or a larger radius.",
      source="common practice; slot tang + 0.4 mm along the crown", unit="mm")  # fmt: skip
def wood_under_slot(order: Ordered) -> Answer:
    left = least_under_slot_mm(order.derived)
    return order.fretted and under(left, LEAST_UNDER_SLOT_MM) and left


def least_under_slot_mm(derived: Derived) -> float:
    """Least wood in mm under a slot cut along the crown, at the edge where the crown has dropped furthest."""
    board = derived.spec.fingerboard
    drop_mm = max(crown_drop_mm(fret.bend_radius_mm, fret.slot_mm) for fret in derived.frets[1:])
    return slot_depth_after_radius(TANG_MM[board.wire_size], drop_mm, board.thickness_mm).wood_left_mm


@rule("soft-fretless-board", WARNING, "fingerboard.wood",
      "Round-wound strings eat a fretless board of {figure}. Choose ebony, a coated board, or flat-wound "
      "strings.")  # fmt: skip
def soft_fretless_board(order: Ordered) -> Answer:
    board = order.spec.fingerboard
    soft = board.wood in SOFT_BOARDS and board.finish != "film"
    return not order.fretted and soft and order.spec.strings.winding in ROUND_WOUND and board.wood


@rule("fretless-takes-no-wire", ERROR, "fingerboard.frets_kind",
      "{figure} fret wire is chosen for a fretless board. Ask whether lined or unlined is meant, and leave the wire "
      "at its default.")  # fmt: skip
def fretless_takes_no_wire(order: Ordered) -> Answer:
    board = order.spec.fingerboard
    chosen = [
        word for word, plain in ((board.wire_metal, "nickel silver"), (board.wire_size, "medium")) if word != plain
    ]
    return not order.fretted and bool(chosen) and " ".join(chosen)


@rule("blocks-follow-the-fan", WARNING, "fingerboard.inlay",
      "Square {figure} look crooked between slanted frets. Draw trapeziums and programme them for this scale "
      "pair.")  # fmt: skip
def blocks_follow_the_fan(order: Ordered) -> Answer:
    inlay = order.spec.fingerboard.inlay
    return inlay == "blocks" and order.on_a_fan and inlay


@rule("composite-board-needs-epoxy", ERROR, "fingerboard.glue",
      "Water-based {figure} does not bite on resin. Glue a composite board with epoxy.")  # fmt: skip
def composite_board_needs_epoxy(order: Ordered) -> Answer:
    board = order.spec.fingerboard
    return board.wood == "paper-resin composite" and board.glue == "PVA" and board.glue


@rule("strings-too-close-at-nut", ERROR, "nut.spread",
      "Only {figure} of air between two strings at the nut, under 6.5 mm: too close under the finger. Widen the nut; "
      "usual widths are 38-42 mm for four strings, 45-48 for five, 52-56 for six.",
      source=COMPUTED, unit="mm")  # fmt: skip
def strings_too_close_at_nut(order: Ordered) -> Answer:
    return under(order.nut_gap_mm, 6.5) and order.nut_gap_mm


@rule("strings-close-at-nut", WARNING, "nut.spread",
      "Only {figure} of air between two strings at the nut: tight for plain fingers. Widen the nut, or space it by "
      "equal gaps.", source=COMPUTED, unit="mm")  # fmt: skip
def strings_close_at_nut(order: Ordered) -> Answer:
    close = under(order.nut_gap_mm, 7.0) and not under(order.nut_gap_mm, 6.5)
    return close and order.nut_gap_mm
