"""What goes into the fingerboard besides its wood: wire, lines, dots, binding and the nut."""

from __future__ import annotations

from specs.derived import Derived, Material
from specs.materials.consumables import usual

SINGLE_MARKERS, DOUBLE_MARKERS = (3, 5, 7, 9, 15, 17, 19, 21, 27, 29, 31, 33), (12, 24, 36)


def board_parts(derived: Derived) -> list[Material]:
    """Fret wire or lines, markers, inlay, binding and nut blank."""
    return [*wire(derived), *markers(derived), *binding(derived), nut_blank(derived)]


def wire(derived: Derived) -> list[Material]:
    """Wire for a fretted board, line veneer for a lined one, and a zero fret's own piece; metres."""
    board, kind = derived.spec.fingerboard, derived.spec.fingerboard.frets_kind
    name = f"{board.wire_metal} fret wire, {board.wire_size}"
    bought = [_wire(derived, name)] if kind == "fretted" else []
    bought += [_lines(derived)] if kind == "lined fretless" else []
    if derived.spec.nut.kind == "zero fret":
        length_m = derived.frets[0].wire_mm / 1000
        how = f"slot {derived.frets[0].slot_mm:.1f} mm and {board.wire_allowance_mm:g} mm each side"
        bought.append(Material("fret wire", f"{name}: zero fret", length_m, "m", how))
    return bought


def _wire(derived: Derived, name: str) -> Material:
    total_m, waste_pct = derived.board.wire_total_mm / 1000, usual("wire_waste")
    frets = len(derived.frets) - 1
    how = f"sum of {frets} real lengths along their slants {total_m:.3f} m, and {waste_pct:g} % for waste"
    return Material("fret wire", name, total_m * (1 + waste_pct / 100), "m", how)


def _lines(derived: Derived) -> Material:
    total_m, waste_pct = sum(fret.slot_mm for fret in derived.frets[1:]) / 1000, usual("wire_waste")
    how = f"sum of {len(derived.frets) - 1} slot lengths {total_m:.3f} m, and {waste_pct:g} % for waste"
    return Material("fret wire", "line veneer", total_m * (1 + waste_pct / 100), "m", how)


def marker_count(frets: int) -> int:
    """Dots of the usual pattern up to the last fret: two at every octave. **Source**: common practice."""
    singles = sum(fret <= frets for fret in SINGLE_MARKERS)
    return singles + 2 * sum(fret <= frets for fret in DOUBLE_MARKERS)


def markers(derived: Derived) -> list[Material]:
    """Side dots, and the face inlay where one is ordered; pieces."""
    board = derived.spec.fingerboard
    count, lit = marker_count(board.frets), "luminous " if board.luminous_side_dots else ""
    how = f"frets 3, 5, 7, 9, 15, … one each, 12 and 24 two, up to fret {board.frets}"
    bought = [Material("inlay", f"{lit}side dots", count, "pieces", how)]
    if board.inlay in ("none", "side only"):
        return bought
    item = "custom inlay set" if board.inlay == "custom" else f"{board.inlay_material} {board.inlay}"
    pieces = 1 if board.inlay == "custom" else count
    return [*bought, Material("inlay", item, pieces, "pieces", "as drawn" if board.inlay == "custom" else how)]


def binding(derived: Derived) -> list[Material]:
    """Binding of both edges and the end, in metres."""
    kind, over_pct = derived.spec.fingerboard.binding, usual("binding_over")
    if kind == "none":
        return []
    edges_m = (2 * derived.board.length_mm + derived.board.width_end_mm) / 1000
    how = f"two edges of {derived.board.length_mm:.0f} mm and the end, {edges_m:.2f} m, and {over_pct:g} %"
    item = f"{kind} binding {usual('binding_width'):g} mm"
    return [Material("inlay", item, edges_m * (1 + over_pct / 100), "m", how)]


def nut_blank(derived: Derived) -> Material:
    """One blank; its item says the length along the slant."""
    slot_mm, over_mm, nut = derived.frets[0].slot_mm, usual("nut_over"), derived.spec.nut
    how = f"nut {derived.board.width_nut_mm:.1f} mm square reads {slot_mm:.1f} mm along its slant, {over_mm:g} mm over"
    return Material("hardware", f"{nut.material} nut blank 6 × 10 × {slot_mm + over_mm:.0f} mm", 1, "pieces", how)
