"""The one cut-ready geometry of an instrument: every machine file and every true-size sheet is drawn from it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

from specs.derived import Derived, Point, String
from specs.drawings.shapes import Hole, Line, Mark, Outline, Plan, Shape, Words, along
from specs.drawings.slots import slot_shapes
from specs.geometry.neck import board_blank, finished_board, nut_seat

LAYERS = (
    "BLANK", "BOARD-OUTLINE", "CENTRE-LINE", "DATUM", "PIN-HOLES", "SLOT-CENTRES", "SLOTS", "CUTTER-PATHS",
    "FRET-LINES", "STRINGS", "NUT-SEAT", "BRIDGE-POINTS", "BRIDGE-LINE", "SADDLE-WINDOWS", "PICKUP-ROWS",
    "PICKUP-ROUTS", "SCREW-CENTRES", "FRET-NUMBERS", "WORDS",
)  # fmt: skip
"""Every layer a plan may have, named by what lies on it."""

HAND_WORDS = {"right": "RIGHT-HANDED", "left": "LEFT-HANDED"}
FACE_UP = "FACE UP: the side the strings lie on"
PIN_MM = 3.0
"""Diameter of the two locating pins. **Source**: common practice."""

CROSS_ARM_MM = 8.0
PAST_MM = 10.0
LETTER_MM, SMALL_LETTER_MM = 5.0, 3.0

Say = Callable[[str], str]


@dataclass(frozen=True)
class CoilRow:
    """A coil row where it lies, from end to end."""

    name: str
    start: Point
    end: Point


@dataclass(frozen=True)
class Rout:
    """A place to rout: whose it is, and its corners."""

    name: str
    corners: tuple[Point, ...]


@dataclass(frozen=True)
class Screw:
    """A hole to drill: what it is for, where, how wide."""

    name: str
    at: Point
    diameter_mm: float


def plan(
    derived: Derived,
    *,
    kerf_mm: float,
    cutter_mm: float,
    mode: str = "through",
    saddle_windows: Sequence[tuple[float, float]] | None = None,
    pickup_rows: Sequence[CoilRow] | None = None,
    routs: Sequence[Rout] | None = None,
    screws: Sequence[Screw] | None = None,
    notes: Sequence[str] = (),
    say: Say = str,
) -> Plan:
    """Every shape to cut, drill or scribe, in mm, mirrored and named for a left-handed instrument.

    ``saddle_windows`` are distances behind each scale point, bass to treble; ``notes`` are lines of text as they are
    to stand, such as the order's number. Raises Refused for a kerf, cutter or mode
    that cannot cut the slots. **Source**: common practice for overruns and pins.
    """
    shapes = chain(
        _board(derived),
        _marks(derived),
        slot_shapes(derived, kerf_mm, cutter_mm, mode),
        _fret_lines(derived),
        _strings(derived),
        _windows(derived.strings, saddle_windows or ()),
        (Line("PICKUP-ROWS", row.name, row.start, row.end) for row in pickup_rows or ()),
        (Outline("PICKUP-ROUTS", rout.name, rout.corners) for rout in routs or ()),
        (Hole("SCREW-CENTRES", screw.name, screw.at, screw.diameter_mm) for screw in screws or ()),
        _words(derived, mode, say),
        _sides(derived, routs or (), say),
        _notes(derived, notes),
    )
    return Plan(say(HAND_WORDS[derived.spec.hand]), say(_datum(derived)[0]), tuple(shapes))


def _datum(derived: Derived) -> tuple[str, float]:
    """The datum in words and its x: the perpendicular fret's line where that is a whole fret, else the nut's centre."""
    fret = derived.spec.scale.perpendicular_fret
    if fret != int(fret):
        return "centre of the nut", 0.0
    return (f"line of fret {int(fret)}" if fret else "line of the nut"), derived.frets[int(fret)].centre_mm


def _board(derived: Derived) -> Iterator[Shape]:
    yield Outline("BLANK", "fingerboard blank", board_blank(derived).corners)
    yield Outline("BOARD-OUTLINE", "finished board", finished_board(derived))
    yield Outline("NUT-SEAT", "nut", nut_seat(derived))


def _marks(derived: Derived) -> Iterator[Shape]:
    blank, datum_x = board_blank(derived), _datum(derived)[1]
    bridge_x = max(string.bridge[0] for string in derived.strings)
    yield Line("CENTRE-LINE", "centre line", (blank.start_mm - PAST_MM, 0.0), (bridge_x + PAST_MM, 0.0))
    yield Line("DATUM", "datum, along", (datum_x - CROSS_ARM_MM, 0.0), (datum_x + CROSS_ARM_MM, 0.0))
    yield Line("DATUM", "datum, across", (datum_x, -CROSS_ARM_MM), (datum_x, CROSS_ARM_MM))
    for name, x in zip(("pin at the nut", "pin at the end"), blank.waste_middles_mm, strict=True):
        yield Hole("PIN-HOLES", name, (x, 0.0), PIN_MM)


def _fret_lines(derived: Derived) -> Iterator[Shape]:
    drawn = derived.frets[:1] if derived.spec.fingerboard.frets_kind == "unlined fretless" else derived.frets
    half_mm = derived.spec.fingerboard.blank_width_mm / 2
    for fret in drawn:
        name = f"fret {fret.fret}" if fret.fret else "nut"
        yield Line("FRET-LINES", name, fret.bass_edge, fret.treble_edge)
        low_x = fret.blank_x[0] if fret.bass_edge[1] < fret.treble_edge[1] else fret.blank_x[1]
        text = str(fret.fret) if fret.fret else "N"
        yield Words("FRET-NUMBERS", text, (low_x, -half_mm + 1.0), SMALL_LETTER_MM)


def _strings(derived: Derived) -> Iterator[Shape]:
    for string in derived.strings:
        yield Line("STRINGS", f"string {string.number}", string.nut, string.bridge)
    for string in derived.strings:
        yield Mark("BRIDGE-POINTS", f"string {string.number}", string.bridge)
    yield Line("BRIDGE-LINE", "bridge line", derived.strings[0].bridge, derived.strings[-1].bridge)


def _windows(strings: Sequence[String], windows: Sequence[tuple[float, float]]) -> Iterator[Shape]:
    for string, (start_mm, end_mm) in zip(strings, windows, strict=bool(windows)):
        ends = (along(string.nut, string.bridge, behind_mm) for behind_mm in (start_mm, end_mm))
        yield Line("SADDLE-WINDOWS", f"string {string.number}", *ends)


def _words(derived: Derived, mode: str, say: Say) -> Iterator[Shape]:
    half_mm, middle = derived.spec.fingerboard.blank_width_mm / 2, derived.board.length_mm / 2
    hand = say(HAND_WORDS[derived.spec.hand])
    yield Words("WORDS", f"{hand} - {say(FACE_UP)}", (middle, half_mm + LETTER_MM), LETTER_MM)
    slots = say(f"slots {mode}") if derived.spec.fingerboard.frets_kind != "unlined fretless" else say("no slots")
    told = f"{hand} - {slots} - {say('datum')}: {say(_datum(derived)[0])} - mm"
    yield Words("WORDS", told, (middle, -half_mm - 2 * LETTER_MM), LETTER_MM)
    yield Words(
        "WORDS", say("nut end"), (board_blank(derived).start_mm + 3 * LETTER_MM, half_mm + LETTER_MM), LETTER_MM
    )


def _sides(derived: Derived, routs: Sequence[Rout], say: Say) -> Iterator[Shape]:
    """The names of both sides, as near as blank, strings and routs allow, so that they ask for no further sheets."""
    across = [derived.spec.fingerboard.blank_width_mm / 2, *(string.bridge[1] for string in derived.strings)]
    across += [y for rout in routs for _, y in rout.corners]
    out_mm = max(map(abs, across)) + LETTER_MM
    x = (derived.board.length_mm + derived.strings[0].bridge[0]) / 2
    for text, string in (("bass side", derived.strings[0]), ("treble side", derived.strings[-1])):
        y = out_mm if string.bridge[1] > 0 else -out_mm - LETTER_MM
        yield Words("WORDS", say(text), (x, y), LETTER_MM)


def _notes(derived: Derived, notes: Sequence[str]) -> Iterator[Shape]:
    """The first under the drawing, the others small above it: all on the sheets that show the blank."""
    half_mm, middle = derived.spec.fingerboard.blank_width_mm / 2, derived.board.length_mm / 2
    for text in notes[:1]:
        yield Words("WORDS", text, (middle, -half_mm - 4 * LETTER_MM), LETTER_MM)
    for line, text in enumerate(notes[1:]):
        yield Words("WORDS", text, (middle, half_mm + 2.4 * LETTER_MM + line * LETTER_MM), SMALL_LETTER_MM)
