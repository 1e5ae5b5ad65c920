"""Figures of the neck: nut, crown, wire, slots, rod and the winding each string needs."""

from __future__ import annotations

from collections.abc import Iterator

from specs.derived import Derived
from specs.geometry.neck import (
    LEAST_UNDER_SLOT_MM,
    ROD_TO_HEEL_MM,
    FretCrown,
    SlotDepths,
    crowns,
    nut_size,
    rod_window,
    slot_depths,
)
from specs.geometry.neck_bolts import rod_to_bolts_mm
from specs.materials.parts import winding_length_mm
from specs.numbers.figure import AT_LEAST, AT_MOST, GEOMETRY, PRACTICE, Column, Figure, Group, Limit, Place, Table

BEFORE, AFTER = "slotted before the radius", "slotted after the radius"
DEPTHS = "tang and wire's air common practice: measure the wire in hand"
NO_SLOTS = "an unlined board has no slots"
NO_WIRE = "a fretless board takes no wire"
FLAT = "the board is flat: wire is not bent"


def neck(derived: Derived) -> Group:
    """The group of the neck."""
    figures = (*_nut(derived), *_crowns(derived), *_bends(derived), *_slots(derived), *_rod(derived), _winding(derived))
    return Group("neck", "Neck", figures, (_fret_table(derived), _winding_table(derived)))


def _nut(derived: Derived) -> Iterator[Figure]:
    nut = nut_size(derived)
    yield Figure("nut_deg", "Nut off square", nut.angle_deg, "°", "angle of the nut line, without sign", GEOMETRY)
    yield Figure("nut_leans", "Treble end of the nut", nut.leaning, "", "where it lies against square", GEOMETRY)
    how = "between the board's edges where the nut crosses the centre line"
    yield Figure("nut_square_mm", "Nut, square to the centre line", nut.square_width_mm, "mm", how, GEOMETRY)
    how = "from edge to edge along the slanted nut: the blank must be this long"
    yield Figure("nut_slanted_mm", "Nut, along its slant", nut.slanted_length_mm, "mm", how, GEOMETRY)


def _crowns(derived: Derived) -> Iterator[Figure]:
    found, how = crowns(derived), "fall from the middle to the edges over the width there, square to the centre line"
    for fret in dict.fromkeys((0, min(12, len(found) - 1), len(found) - 1)):
        place = Place("fret", fret) if fret else Place("nut")
        source = "s = r − √(r² − (w/2)²); radius linear along the board is common practice"
        yield Figure(f"crown_{fret}_mm", "Crown height", found[fret].height_mm, "mm", how, source, place)


def _bends(derived: Derived) -> Iterator[Figure]:
    wired = [crown for crown in crowns(derived)[1:] if crown.bend_radius_mm is not None]
    lacking = "" if derived.spec.fingerboard.frets_kind == "fretted" and wired else FLAT if not wired else NO_WIRE
    for key, label, of in (("bend_least_mm", "Least bend radius", min), ("bend_most_mm", "Greatest bend radius", max)):
        crown = None if lacking else of(wired, key=_bend_mm)
        yield Figure(
            key, label, crown and crown.bend_radius_mm, "mm", "radius over the square of the fret's cosine",
            "plane geometry, r/cos²θ", crown and Place("fret", crown.fret), lacking=lacking,
        )  # fmt: skip


def _bend_mm(crown: FretCrown) -> float:
    return crown.bend_radius_mm or 0.0


def _slots(derived: Derived) -> Iterator[Figure]:
    slots = slot_depths(derived) if derived.spec.fingerboard.frets_kind != "unlined fretless" else ()
    modes = (
        ("before", BEFORE, "tang, 0.4 mm of air, 0.3 mm still to come off and the crown's drop along the slot"),
        ("after", AFTER, "tang and 0.4 mm of air, following the crown"),
    )
    for mode, words, how in modes:
        yield _slot(slots, f"slot_{mode}_mm", f"Deepest slot, {words}", how, mode, "depth_mm")
    for mode, words, _ in modes:
        how = "board's thickness less the slot, at the board's edge"
        yield _slot(slots, f"wood_{mode}_mm", f"Least wood under a slot, {words}", how, mode, "wood_left_mm")


def _slot(slots: tuple[SlotDepths, ...], key: str, label: str, how: str, mode: str, which: str) -> Figure:
    limit = Limit(AT_LEAST, LEAST_UNDER_SLOT_MM) if which == "wood_left_mm" else None
    if not slots:
        return Figure(key, label, None, "mm", how, DEPTHS, limit=limit, lacking=NO_SLOTS)
    found = [(getattr(getattr(slot, f"{mode}_radius"), which), slot.fret) for slot in slots]
    value, fret = min(found) if limit else max(found)
    return Figure(key, label, value, "mm", how, DEPTHS, Place("fret", fret), limit)


def _rod(derived: Derived) -> Iterator[Figure]:
    rod, length_mm = rod_window(derived), derived.spec.neck.truss_rod_mm
    how = "along the centre line from the nut, 3 mm clear of its slanted seat; 0 where it is adjusted at the headstock"
    yield Figure("rod_start_mm", "Rod begins", rod.start_mm, "mm", how, PRACTICE)
    yield Figure("rod_end_mm", "Rod ends", rod.end_mm, "mm", "its beginning and the ordered length", PRACTICE)
    reach = Limit(AT_LEAST, rod.shortest_mm)
    yield Figure("rod_mm", "Rod length ordered", length_mm, "mm", "must reach past fret 15", PRACTICE, limit=reach)
    heel = None if rod.longest_mm is None else rod.longest_mm + ROD_TO_HEEL_MM - length_mm
    lacking = "" if heel is not None else "a neck-through has no heel's end"
    how, least = "from the rod's end to the end of the board", Limit(AT_LEAST, ROD_TO_HEEL_MM)
    yield Figure("rod_to_heel_mm", "Wood past the rod", heel, "mm", how, PRACTICE, limit=least, lacking=lacking)
    apart, how = rod_to_bolts_mm(derived), "between the rod's channel and the nearest hole of a neck screw"
    lacking = "" if apart is not None else "a neck-through has no screws"
    yield Figure("rod_to_screws_mm", "Rod to neck screws", apart, "mm", how, PRACTICE, lacking=lacking)


def _winding(derived: Derived) -> Figure:
    wound = derived.spec.strings.winding_length_mm
    needed, number = max((winding_length_mm(derived, string), string.number) for string in derived.strings)
    limit = None if wound is None else Limit(AT_MOST, wound)
    how = "the string's scale, its anchor behind the saddle and 10 mm past the nut"
    return Figure("winding_mm", "Longest winding needed", needed, "mm", how, PRACTICE, Place("string", number), limit)


def _fret_table(derived: Derived) -> Table:
    slots = {slot.fret: slot for slot in slot_depths(derived)}
    if derived.spec.fingerboard.frets_kind == "unlined fretless":
        slots = {}
    heads = ("Width, square", "Crown height", "Drop along the slot", "Bend radius", "Depth before the radius",
             "Depth after the radius", "Wood left")  # fmt: skip
    columns = (Column("Fret"), *(Column(head, "mm") for head in heads))
    return Table("frets", "Crown and slots, fret by fret", columns, tuple(
        (crown.fret, crown.width_mm, crown.height_mm, crown.slot_drop_mm, crown.bend_radius_mm,
         *_cut(slots.get(crown.fret)))
        for crown in crowns(derived)
    ))  # fmt: skip


def _cut(slot: SlotDepths | None) -> tuple[float | None, float | None, float | None]:
    if slot is None:
        return None, None, None
    left = min(slot.before_radius.wood_left_mm, slot.after_radius.wood_left_mm)
    return slot.before_radius.depth_mm, slot.after_radius.depth_mm, left


def _winding_table(derived: Derived) -> Table:
    columns = Column("String"), Column("Pitch"), Column("Scale", "mm"), Column("Winding, at least", "mm")
    return Table("winding", "Winding, string by string", columns, tuple(
        (string.number, string.pitch, string.scale_mm, winding_length_mm(derived, string))
        for string in reversed(derived.strings)
    ))  # fmt: skip
