"""The neck around the strings: board and blank, the nut and its seat, crown and slot depth at every fret, the rod."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, tan

from specs.derived import Derived, Fret, Point
from specs.geometry.bench import leaning
from specs.geometry.crown import (
    TANG_MM,
    Crown,
    SlotDepth,
    crown_drop_mm,
    slot_depth_after_radius,
    slot_depth_before_radius,
)
from specs.geometry.lines import Crossline, Edge

NUT_THICKNESS_MM = 6.0
"""Thickness of the nut, square to its face. **Source**: common practice."""

BEHIND_ZERO_FRET_MM = 4.0
"""Board kept behind a zero fret, along the centre line. **Source**: common practice."""

BLANK_WASTE_MM = 10.0
"""Blank past the furthest corners of the board's ends. **Source**: common practice."""

LEAST_UNDER_SLOT_MM = 2.5
"""Least wood under a fret slot. **Source**: common practice."""

TO_COME_OFF_MM = 0.3
"""Wood still to come off at the centre of a board slotted before its radius. **Source**: common practice."""

ROD_WIDTH_MM, ROD_TO_NUT_MM, ROD_TO_HEEL_MM = 6.35, 3.0, 8.0
"""Width of the rod's channel; wood kept to the nut's seat and to the end of the heel. **Source**: common practice."""

REACHED_FRET = 15
"""The rod must reach past this fret. **Source**: common practice."""


@dataclass(frozen=True)
class BoardBlank:
    """The rectangle a board is cut from, between two x, and the board's own ends on the centre line, in mm."""

    start_mm: float
    end_mm: float
    width_mm: float
    board_start_mm: float
    board_end_mm: float

    @property
    def length_mm(self) -> float:
        """Length along the centre line."""
        return self.end_mm - self.start_mm

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Its corners, counter-clockwise from the lowest x and y."""
        half = self.width_mm / 2
        return (self.start_mm, -half), (self.end_mm, -half), (self.end_mm, half), (self.start_mm, half)

    @property
    def waste_middles_mm(self) -> tuple[float, float]:
        """The x half-way through the waste on the centre line, at the nut and at the end: room for a pin."""
        return (self.start_mm + self.board_start_mm) / 2, (self.end_mm + self.board_end_mm) / 2


def board_blank(derived: Derived, waste_mm: float = BLANK_WASTE_MM) -> BoardBlank:
    """The least blank that holds both slanted ends from one of its long edges to the other, and waste past them."""
    half_mm, finished = derived.spec.fingerboard.blank_width_mm / 2, finished_board(derived)
    start = crossline(derived.frets[0]).moved(nut_end_mm(derived))
    end = crossline(derived.frets[-1]).moved(derived.board.length_mm - derived.frets[-1].centre_mm)
    return BoardBlank(
        min(start.at(-half_mm)[0], start.at(half_mm)[0], *(x for x, _ in finished)) - waste_mm,
        max(end.at(-half_mm)[0], end.at(half_mm)[0], *(x for x, _ in finished)) + waste_mm,
        2 * half_mm, start.centre_mm, end.centre_mm,
    )  # fmt: skip


def nut_end_mm(derived: Derived) -> float:
    """Where the finished board begins on the centre line: at the nut's face, or behind a zero fret."""
    nut = derived.spec.nut
    return -BEHIND_ZERO_FRET_MM if nut.kind == "zero fret" else nut.forward_mm


def finished_board(derived: Derived) -> tuple[Point, Point, Point, Point]:
    """Corners of the finished board: nut bass, nut treble, end treble, end bass."""
    start = crossline(derived.frets[0]).moved(nut_end_mm(derived))
    bass, treble = board_edges(derived)
    return bass.crossing(start), treble.crossing(start), derived.board.outline[2], derived.board.outline[3]


def nut_seat(derived: Derived) -> tuple[Point, Point, Point, Point]:
    """Corners of the seat between the board's edges: face bass, face treble, back treble, back bass."""
    face = crossline(derived.frets[0]).moved(nut_end_mm(derived))
    back = face.moved(-NUT_THICKNESS_MM / cos(radians(face.angle_deg)))
    bass, treble = board_edges(derived)
    return bass.crossing(face), treble.crossing(face), treble.crossing(back), bass.crossing(back)


def crossline(fret: Fret) -> Crossline:
    """The straight line of a fret, on either hand."""
    (x_bass, y_bass), (x_treble, y_treble) = fret.bass_edge, fret.treble_edge
    return Crossline(fret.centre_mm, (x_treble - x_bass) / (y_treble - y_bass))


def board_edges(derived: Derived) -> tuple[Edge, Edge]:
    """The bass-side and the treble-side edge of the finished board, on either hand."""
    nut_bass, nut_treble, end_treble, end_bass = derived.board.outline
    return _edge(nut_bass, end_bass), _edge(nut_treble, end_treble)


def _edge(start: Point, end: Point) -> Edge:
    return Edge(start, (end[1] - start[1]) / (end[0] - start[0]))


@dataclass(frozen=True)
class NutSize:
    """The nut's angle without sign, where its treble end leans, its width square to the centre line and along it."""

    angle_deg: float
    leaning: str
    square_width_mm: float
    slanted_length_mm: float


def nut_size(derived: Derived) -> NutSize:
    """The nut as it is measured and as it is cut: on a fan the blank must be the longer of the two, in mm."""
    nut = derived.frets[0]
    return NutSize(abs(nut.angle_deg), leaning(nut.angle_deg), derived.board.width_nut_mm, nut.slot_mm)


@dataclass(frozen=True)
class FretCrown:
    """At one fret, in mm: width and crown height square to the centre line, drop and bend radius along the slot."""

    fret: int
    width_mm: float
    height_mm: float
    slot_drop_mm: float
    bend_radius_mm: float | None


def crowns(derived: Derived) -> tuple[FretCrown, ...]:
    """The crown at the nut and at every fret. **Source**: plane geometry; a radius linear along the board."""
    board = derived.spec.fingerboard
    face = Crown(board.radius_nut_mm, board.radius_end_mm, derived.frets[-1].centre_mm)
    return tuple(_crown(derived, face, fret) for fret in derived.frets)


def _crown(derived: Derived, face: Crown, fret: Fret) -> FretCrown:
    bass, treble = board_edges(derived)
    width_mm = abs(treble.y_at(fret.centre_mm) - bass.y_at(fret.centre_mm))
    return FretCrown(
        fret.fret,
        width_mm,
        face.drop_mm(fret.centre_mm, width_mm),
        crown_drop_mm(fret.bend_radius_mm, fret.slot_mm),
        fret.bend_radius_mm,
    )


@dataclass(frozen=True)
class SlotDepths:
    """How deep to cut one slot before and after the board gets its radius, and the wood left under it."""

    fret: int
    before_radius: SlotDepth
    after_radius: SlotDepth

    @property
    def thin(self) -> bool:
        """Whether less than 2.5 mm of wood is left in either mode."""
        return min(self.before_radius.wood_left_mm, self.after_radius.wood_left_mm) < LEAST_UNDER_SLOT_MM


def slot_depths(derived: Derived, to_come_off_mm: float = TO_COME_OFF_MM) -> tuple[SlotDepths, ...]:
    """The depth of every slot from fret 1 up, in mm, by both ways of working. **Source**: common practice."""
    board = derived.spec.fingerboard
    tang_mm = TANG_MM[board.wire_size]
    return tuple(
        SlotDepths(
            crown.fret,
            slot_depth_before_radius(tang_mm, crown.slot_drop_mm, board.thickness_mm, to_come_off_mm),
            slot_depth_after_radius(tang_mm, crown.slot_drop_mm, board.thickness_mm),
        )
        for crown in crowns(derived)[1:]
    )


@dataclass(frozen=True)
class RodWindow:
    """Where the rod lies on the centre line, from its first to its last mm, and how long it may be.

    ``start_mm`` is the least distance that keeps the channel clear of the nut's seat on its short side; a rod adjusted
    at the headstock runs out under the seat and starts at the nut. ``longest_mm`` is None in a neck-through.
    """

    start_mm: float
    end_mm: float
    shortest_mm: float
    longest_mm: float | None

    @property
    def reaches(self) -> bool:
        """Whether the rod reaches fret 15, or the last fret of a shorter board."""
        return self.end_mm - self.start_mm >= self.shortest_mm

    @property
    def clears_heel(self) -> bool:
        """Whether it stops short of the heel's end."""
        return self.longest_mm is None or self.end_mm - self.start_mm <= self.longest_mm


def rod_window(derived: Derived) -> RodWindow:
    """The place of the ordered rod and the lengths that would do, in mm. **Source**: common practice."""
    neck, last = derived.spec.neck, derived.frets[min(REACHED_FRET, len(derived.frets) - 1)]
    start_mm = 0.0 if neck.adjuster == "headstock" else rod_start_mm(derived)
    longest_mm = derived.board.length_mm - ROD_TO_HEEL_MM - start_mm
    bolted = neck.construction == "bolt-on"
    return RodWindow(
        start_mm, start_mm + neck.truss_rod_mm, last.centre_mm - start_mm, longest_mm if bolted else None
    )  # fmt: skip


def rod_start_mm(derived: Derived) -> float:
    """Where on the centre line the channel may begin: 3 mm clear of the slanted nut at the channel's own corner."""
    slant_deg = abs(derived.nut_angle_deg)
    corner_mm = ROD_WIDTH_MM / 2 * tan(radians(slant_deg))
    return nut_end_mm(derived) + corner_mm + ROD_TO_NUT_MM / cos(radians(slant_deg))
