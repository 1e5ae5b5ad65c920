"""What is cut and drilled, with 40 digits: corners and ends by layer, from the definitions and the 40-digit lines.

A strip is its middle line moved square to itself, a parallel line is two moved points; no formula is shared with the
program. Overruns, stops, the nut's thickness, coils past the outer strings and the wood behind a zero fret: common
practice, no source.
"""

from collections.abc import Sequence

from mpmath import mp, mpf

from specs.document import BuildSpec
from tests.reference import forty_digits as plane
from tests.reference import forty_digits_sound as sound

mp.dps = 40
PAST_MM = {"through": mpf(3), "blind": mpf(-2)}
NUT_MM, BEHIND_ZERO_FRET_MM, PAST_STRING_MM = mpf(6), mpf(4), mpf(2)

Shapes = dict[str, list[tuple[complex, ...]]]


def drawn(spec: BuildSpec, unit_weights_lb_in: Sequence[float], kerf_mm: str, cutter_mm: str, mode: str) -> Shapes:
    """Points of every shape by layer, bass string and nut first; x + yi in mm, rounded once at the end."""
    answer = plane.instrument(spec, list(unit_weights_lb_in))
    nuts, bridges = plane._string_ends(spec)
    board, seat = _board(spec, nuts, bridges)
    frets = [(fret["bass_edge"], fret["treble_edge"]) for fret in answer["frets"]]
    strings = [(string["nut"], string["bridge"]) for string in answer["strings"]]
    windows = [sound.saddle(spec, weight, index)["window_mm"] for index, weight in enumerate(unit_weights_lb_in)]
    screws = [mpf(mm) for mm in (spec.bridge.front_screw_mm, spec.bridge.rear_screw_mm) if mm is not None]
    slots = frets if spec.nut.kind == "zero fret" else frets[1:]
    found = {
        "BOARD-OUTLINE": [_handed(spec, board)],
        "NUT-SEAT": [_handed(spec, seat)],
        "FRET-LINES": frets,
        "STRINGS": strings,
        "BRIDGE-POINTS": [(bridge,) for _, bridge in strings],
        "BRIDGE-LINE": [(strings[0][1], strings[-1][1])],
        "SADDLE-WINDOWS": [tuple(_past(*s, mm) for mm in w) for s, w in zip(strings, windows, strict=True)],
        "PICKUP-ROWS": [_handed(spec, _row(spec, housing, nuts, bridges)) for housing in spec.pickups],
        "SCREW-CENTRES": [(_past(*string, mm),) for string in strings for mm in screws],
    }
    found |= _cut(slots, mpf(kerf_mm), mpf(cutter_mm), mode)
    return {layer: [tuple(map(complex, points)) for points in shapes] for layer, shapes in found.items()}


def _cut(slots, kerf, cutter, mode):
    ends_in = cutter / 2 if mode == "blind" else mpf(0)
    cuts = [(_past(b, a, PAST_MM[mode]), _past(a, b, PAST_MM[mode])) for a, b in slots]
    ways = [(_past(b, a, -ends_in), _past(a, b, -ends_in)) for a, b in cuts]
    return {
        "SLOTS": [_strip(*cut, kerf) for cut in cuts],
        "SLOT-CENTRES": ways,
        "CUTTER-PATHS": [_strip(*way, kerf - cutter) for way in ways],
    }


def _past(start, end, distance):
    return end + (end - start) / abs(end - start) * distance


def _strip(start, end, width):
    aside = mp.mpc(0, 1) * (end - start) / abs(end - start) * width / 2
    return start - aside, end - aside, end + aside, start + aside


def _board(spec, nuts, bridges):
    nut, last = (plane._fret_line(spec, nuts, bridges, n) for n in (0, spec.fingerboard.frets))
    bass, treble = plane._edges(spec, nuts, last)
    begins = -BEHIND_ZERO_FRET_MM if spec.nut.kind == "zero fret" else mpf(spec.nut.forward_mm)
    face = tuple(point + begins for point in nut)
    end = tuple(point + mpf(spec.fingerboard.overhang_mm) for point in last)
    back = tuple(point + mp.mpc(0, 1) * (nut[1] - nut[0]) / abs(nut[1] - nut[0]) * NUT_MM for point in face)
    meet = plane._meet
    board = meet(face, bass), meet(face, treble), meet(end, treble), meet(end, bass)
    return board, (*board[:2], meet(back, treble), meet(back, bass))


def _row(spec, housing, nuts, bridges):
    placed = sound.pickup(spec, housing)
    points = sound._sensed(spec, housing, nuts, bridges, placed["centre_mm"], mp.radians(placed["angle_deg"]))
    first, last = points[0], points[-1]
    return _past(last, first, PAST_STRING_MM), _past(first, last, PAST_STRING_MM)


def _handed(spec, points):
    return tuple(map(mp.conj, points)) if spec.hand == "left" else tuple(points)
