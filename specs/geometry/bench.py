"""The fret table a luthier scribes from: signed distances from one datum, never fret to fret, angles in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from specs.derived import Derived, Fret, Point

SQUARE_DEG = 0.005
"""An angle that prints as 0.00 is called square."""


@dataclass(frozen=True)
class BenchRow:
    """One line to scribe; distances in mm from the datum, positive toward the bridge; the angle has no sign."""

    fret: int
    centre_mm: float
    blank_bass_mm: float
    blank_treble_mm: float
    edge_bass_mm: float
    edge_treble_mm: float
    angle_deg: float
    leaning: str
    """Where the treble end lies: ``toward the bridge``, ``toward the nut`` or ``square``."""
    slot_mm: float
    wire_mm: float
    bend_radius_mm: float | None


@dataclass(frozen=True)
class BenchTable:
    """All frets from one datum; ``datum`` is its name in words."""

    datum: str
    rows: tuple[BenchRow, ...]


@dataclass(frozen=True)
class BenchTables:
    """The fret table from either datum; ``perpendicular`` is None where that fret is a fraction."""

    perpendicular: BenchTable | None
    nut: BenchTable

    @property
    def first(self) -> BenchTable:
        """The bench's own datum: the perpendicular fret's line if that is a whole fret, else the nut's centre point."""
        return self.perpendicular or self.nut

    @property
    def both(self) -> tuple[BenchTable, ...]:
        """Every table to print, the bench's own first."""
        return (self.nut,) if self.perpendicular is None else (self.perpendicular, self.nut)


def bench_tables(derived: Derived) -> BenchTables:
    """The fret tables of an instrument, from the perpendicular fret's line and from the nut's centre point.

    Along the blank and the finished edges a table counts from where the square line through its datum meets them.
    """
    perpendicular = derived.spec.scale.perpendicular_fret
    nut = _table(derived.frets, "centre of the nut", 0.0)
    if perpendicular != int(perpendicular):
        return BenchTables(None, nut)
    fret = derived.frets[int(perpendicular)]
    name = f"line of fret {fret.fret}" if fret.fret else "line of the nut"
    return BenchTables(_table(derived.frets, name, fret.centre_mm), nut)


def leaning(angle_deg: float) -> str:
    """Where the treble end of a line lies, in words."""
    if abs(angle_deg) < SQUARE_DEG:
        return "square"
    return "toward the bridge" if angle_deg > 0 else "toward the nut"


def _table(frets: Sequence[Fret], datum: str, datum_mm: float) -> BenchTable:
    nut, last = frets[0], frets[-1]
    bass_stretch = _stretch(nut.bass_edge, last.bass_edge)
    treble_stretch = _stretch(nut.treble_edge, last.treble_edge)
    return BenchTable(datum, tuple(_row(fret, datum_mm, bass_stretch, treble_stretch) for fret in frets))


def _stretch(start: Point, end: Point) -> float:
    """Length along an edge per mm along the centre line."""
    return hypot(end[0] - start[0], end[1] - start[1]) / (end[0] - start[0])


def _row(fret: Fret, datum_mm: float, bass_stretch: float, treble_stretch: float) -> BenchRow:
    return BenchRow(
        fret=fret.fret,
        centre_mm=fret.centre_mm - datum_mm,
        blank_bass_mm=fret.blank_x[0] - datum_mm,
        blank_treble_mm=fret.blank_x[1] - datum_mm,
        edge_bass_mm=(fret.bass_edge[0] - datum_mm) * bass_stretch,
        edge_treble_mm=(fret.treble_edge[0] - datum_mm) * treble_stretch,
        angle_deg=abs(fret.angle_deg),
        leaning=leaning(fret.angle_deg),
        slot_mm=fret.slot_mm,
        wire_mm=fret.wire_mm,
        bend_radius_mm=fret.bend_radius_mm,
    )
