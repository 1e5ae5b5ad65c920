"""The fret slots as they are cut: how far each runs, how wide it is, and the way the middle of the cutter takes."""

from __future__ import annotations

from collections.abc import Iterator

from specs.derived import Derived, Fret
from specs.drawings.shapes import Line, Outline, Shape, lengthened, strip
from specs.errors import Refused

OVERRUN_MM = 3.0
"""How far a through slot runs past the finished edge. **Source**: common practice."""

BLIND_STOP_MM = 2.0
"""How far inside the finished edge a blind slot stops. **Source**: common practice."""

MODES = ("through", "blind")
SAME_WIDTH_MM = 1e-9


def slotted_frets(derived: Derived) -> tuple[Fret, ...]:
    """The frets that get a slot: none on an unlined board; the nut's too where it is a zero fret."""
    spec = derived.spec
    if spec.fingerboard.frets_kind == "unlined fretless":
        return ()
    return derived.frets[0 if spec.nut.kind == "zero fret" else 1 :]


def slot_shapes(derived: Derived, kerf_mm: float, cutter_mm: float, mode: str) -> Iterator[Shape]:
    """Of every slot: the line the middle of the cutter follows, the closed outline of the cut, and, for a cutter
    narrower than the kerf, the closed way its middle takes inside that outline.

    Raises Refused for a mode that is none, a cutter wider than the kerf, and a slot too short for the cutter.
    """
    _refuse_bad_cut(kerf_mm, cutter_mm, mode)
    for fret in slotted_frets(derived):
        yield from _slot(fret, kerf_mm, cutter_mm, mode)


def cut_length_mm(slot_mm: float, mode: str) -> float:
    """Length of the cut along the slot from its length between the finished edges.

    **Source**: common practice, 3 mm past both edges or 2 mm inside them.
    """
    return slot_mm + 2 * (OVERRUN_MM if mode == "through" else -BLIND_STOP_MM)


def path_length_mm(slot_mm: float, cutter_mm: float, mode: str) -> float:
    """Length of the way of the cutter's middle; shorter by its diameter in a blind slot, which it must not leave."""
    return cut_length_mm(slot_mm, mode) - (cutter_mm if mode == "blind" else 0.0)


def _slot(fret: Fret, kerf_mm: float, cutter_mm: float, mode: str) -> Iterator[Shape]:
    name = f"fret {fret.fret}"
    path_mm = path_length_mm(fret.slot_mm, cutter_mm, mode)
    if path_mm <= 0:
        raise Refused.one("cutter", "slot-too-short", f"the blind slot of {name} is shorter than the cutter is wide")
    ends = fret.bass_edge, fret.treble_edge
    path = lengthened(*ends, (path_mm - fret.slot_mm) / 2)
    cut = lengthened(*ends, (cut_length_mm(fret.slot_mm, mode) - fret.slot_mm) / 2)
    yield Line("SLOT-CENTRES", name, *path)
    yield Outline("SLOTS", name, strip(*cut, kerf_mm))
    if kerf_mm - cutter_mm > SAME_WIDTH_MM:
        yield Outline("CUTTER-PATHS", name, strip(*path, kerf_mm - cutter_mm))


def _refuse_bad_cut(kerf_mm: float, cutter_mm: float, mode: str) -> None:
    if mode not in MODES:
        raise Refused.one("mode", "unknown", f"slots are cut {' or '.join(MODES)}")
    if not 0 < cutter_mm <= kerf_mm + SAME_WIDTH_MM:
        raise Refused.one("cutter", "too-wide", "the cutter must be thicker than nothing and no wider than the kerf")
