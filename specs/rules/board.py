"""Rules of the fingerboard: its margins, frets or lines, the wood under the slots and inlay."""

from __future__ import annotations

from specs.geometry.neck import LEAST_UNDER_SLOT_MM, slot_depths
from specs.rules.ordered import Ordered
from specs.rules.rule import COMPUTED, ERROR, WARNING, Answer, rule, under
from specs.wood.faces import SOFT_BOARDS

FULL_SIZE = ("dual coil", "large dual coil")
ROUND_WOUND = ("nickel-plated round", "stainless round")


@rule("edge-margin-at-last-fret", ERROR, "fingerboard.edge_margin_end",
      "An edge margin of {figure} at the last fret lets the outer string pull off the board. Leave 3.5 mm or more: a "
      "wider board or a narrower bridge spread.", unit="mm")  # fmt: skip
def edge_margin_at_last_fret(order: Ordered) -> Answer:
    margin = order.spec.fingerboard.edge_margin_end_mm
    return under(margin, 3.5) and margin


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
    left = min(slot.after_radius.wood_left_mm for slot in slot_depths(order.derived))
    return order.fretted and under(left, LEAST_UNDER_SLOT_MM) and left


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
