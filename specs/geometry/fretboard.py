"""The fingerboard in plan: its edges, the line of every fret, what wire it takes, and its outline.

Right-handed, in mm; ``mirrored`` turns the answer for a left-handed instrument.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import fsum, hypot

from specs.derived import Board, Fret, Point, WorstError
from specs.document import BuildSpec, Fingerboard
from specs.errors import Refused
from specs.geometry.crown import Crown, crown, hump_mm
from specs.geometry.lines import Crossline, Edge
from specs.geometry.strings import LEAST_OPENNESS, Layout, travelled


@dataclass(frozen=True)
class Edges:
    """The two long edges of the board."""

    bass: Edge
    treble: Edge

    def crossed(self, line: Crossline) -> tuple[Point, Point]:
        """Where a line across the board meets the bass-side and the treble-side edge."""
        return self.bass.crossing(line), self.treble.crossing(line)

    def width_mm(self, x_mm: float) -> float:
        """Width between the edges at that x, square to the centre line; negative past where they cross."""
        return self.treble.y_at(x_mm) - self.bass.y_at(x_mm)

    def openness(self, line: Crossline) -> float:
        """The lesser openness of the two edges to a line."""
        return min(self.bass.openness(line), self.treble.openness(line))


def edges(plan: Layout, board: Fingerboard) -> Edges:
    """The edges: their margins outside the outer strings at the nut line and at the last fret."""
    drift_mm = (plan.bridge_spread_mm - plan.nut_spread_mm) / 2
    end = travelled(board.frets)
    widening_mm = drift_mm * end + board.edge_margin_end_mm - board.edge_margin_nut_mm
    half_mm = plan.nut_spread_mm / 2
    nut_x_mm = plan.line(0).slope * half_mm
    return Edges(
        Edge((-nut_x_mm, -half_mm - board.edge_margin_nut_mm), -widening_mm / (plan.bass_run_mm * end)),
        Edge((nut_x_mm, half_mm + board.edge_margin_nut_mm), widening_mm / (plan.treble_run_mm * end)),
    )


def frets_and_board(spec: BuildSpec, plan: Layout) -> tuple[tuple[Fret, ...], Board]:
    """Every fret's line from the nut (fret 0) up, and the board. Raises Refused at the nearest field."""
    board, sides = spec.fingerboard, edges(plan, spec.fingerboard)
    lines = tuple(map(plan.line, range(board.frets + 1)))
    _refuse_missed_board(lines, sides)
    face = crown(board, plan)
    _refuse_steep_crown(face, sides)
    frets = _frets(board, plan, lines, sides, face)
    _refuse_crossing_frets(frets)
    end_line = lines[-1].moved(board.overhang_mm)
    outline = (*sides.crossed(lines[0]), *reversed(sides.crossed(end_line)))
    _refuse_bad_end(plan, end_line, outline)
    return frets, _board(lines, frets, sides, outline, end_line.centre_mm, hump_mm(face, plan, board.frets))


def mirrored(frets: Sequence[Fret], board: Board) -> tuple[tuple[Fret, ...], Board]:
    """The same fingerboard for a left-handed instrument: every y negated and nothing else."""
    flipped = (
        replace(fret, bass_edge=mirror(fret.bass_edge), treble_edge=mirror(fret.treble_edge)) for fret in frets
    )  # fmt: skip
    bass_nut, treble_nut, treble_end, bass_end = map(mirror, board.outline)
    return tuple(flipped), replace(board, outline=(bass_nut, treble_nut, treble_end, bass_end))


def mirror(point: Point) -> Point:
    """The point on the other side of the centre line."""
    return point[0], 0.0 - point[1]


def _frets(board: Fingerboard, plan: Layout, lines: Sequence[Crossline], sides: Edges, face: Crown) -> tuple[Fret, ...]:
    nut_edges = sides.crossed(lines[0])
    return tuple(_fret(number, line, board, plan, sides, face, nut_edges) for number, line in enumerate(lines))


def _fret(
    number: int, line: Crossline, board: Fingerboard, plan: Layout, sides: Edges, face: Crown,
    nut_edges: tuple[Point, Point],
) -> Fret:  # fmt: skip
    bass, treble = sides.crossed(line)
    slot_mm = _distance(bass, treble)
    strings = range(len(plan.nut_places))
    half_blank_mm = board.blank_width_mm / 2
    return Fret(
        fret=number,
        angle_deg=line.angle_deg,
        bass_edge=bass,
        treble_edge=treble,
        slot_mm=slot_mm,
        wire_mm=slot_mm + 2 * board.wire_allowance_mm,
        centre_mm=line.centre_mm,
        blank_x=(line.at(-half_blank_mm)[0], line.at(half_blank_mm)[0]),
        from_nut_mm=tuple(plan.from_nut_mm(string, number) for string in strings),
        error_cents=tuple(plan.error_cents(string, number) for string in strings),
        edge_from_nut_mm=(_distance(nut_edges[0], bass), _distance(nut_edges[1], treble)),
        bend_radius_mm=face.bend_radius_mm(line.centre_mm, line.slope),
    )


def _board(
    lines: Sequence[Crossline], frets: Sequence[Fret], sides: Edges,
    outline: tuple[Point, Point, Point, Point], length_mm: float, hump: float,
) -> Board:  # fmt: skip
    return Board(
        length_mm=length_mm,
        width_nut_mm=sides.width_mm(0),
        width_end_mm=sides.width_mm(lines[-1].centre_mm),
        wire_total_mm=fsum(fret.wire_mm for fret in frets[1:]),
        worst_error=_worst(frets[1:]),
        outline=outline,
        hump_mm=hump,
    )


def _worst(frets: Sequence[Fret]) -> WorstError:
    errors = (
        WorstError(cents, fret.fret, len(fret.error_cents) - string)
        for fret in frets
        for string, cents in enumerate(fret.error_cents)
    )
    return max(errors, key=lambda error: abs(error.cents))


def _distance(one: Point, other: Point) -> float:
    return hypot(other[0] - one[0], other[1] - one[1])


def _refuse_missed_board(lines: Sequence[Crossline], sides: Edges) -> None:
    for number, line in enumerate(lines):
        if sides.openness(line) < LEAST_OPENNESS:
            raise Refused.one(
                "scale.perpendicular_fret", "fret-misses-board",
                f"{_name(number)} at {abs(line.angle_deg):.1f}° runs along the board's edge and misses it: bring the "
                "two scales closer together, or move the perpendicular fret toward it",
            )  # fmt: skip


def _refuse_steep_crown(face: Crown, sides: Edges) -> None:
    for end, radius_mm, x_mm in (("nut", face.nut_mm, 0.0), ("end", face.end_mm, face.length_mm)):
        if radius_mm is not None and sides.width_mm(x_mm) >= 2 * radius_mm:
            raise Refused.one(
                f"fingerboard.radius_{end}", "radius-too-small",
                f"a board {sides.width_mm(x_mm):.1f} mm wide needs a radius over half that: enlarge the radius",
            )  # fmt: skip


def _refuse_crossing_frets(frets: Sequence[Fret]) -> None:
    for one, other in pairwise(frets):
        if not (one.bass_edge[0] < other.bass_edge[0] and one.treble_edge[0] < other.treble_edge[0]):
            end = "nut" if one.fret < len(frets) / 2 else "end"
            raise Refused.one(
                f"fingerboard.edge_margin_{end}", "frets-cross",
                f"{_name(one.fret)} and fret {other.fret} meet before the board's edge: reduce the margin, or bring "
                "the two scales closer together",
            )  # fmt: skip


def _refuse_bad_end(plan: Layout, end_line: Crossline, outline: Sequence[Point]) -> None:
    _, _, treble_end, bass_end = outline
    if bass_end[1] >= treble_end[1]:
        raise Refused.one(
            "fingerboard.overhang", "edges-cross", "the board's edges cross before its end: reduce the overhang"
        )
    half_mm = plan.bridge_spread_mm / 2
    for y_mm in (bass_end[1], treble_end[1], -half_mm, half_mm):
        if end_line.at(y_mm)[0] >= plan.bridge_line.at(y_mm)[0]:
            raise Refused.one(
                "fingerboard.overhang", "reaches-bridge",
                "the board reaches the bridge: reduce the overhang, or the number of frets",
            )  # fmt: skip


def _name(number: int) -> str:
    return f"fret {number}" if number else "the nut"
