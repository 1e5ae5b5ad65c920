"""The computed instrument: what ``derive`` returns, in mm, degrees, newtons, kilograms and hertz.

Points are (x, y): x along the centre line from the nut, y toward the treble side; a left-handed instrument carries
the mirrored y. Sequences over strings run from bass to treble.
"""

from __future__ import annotations

from dataclasses import dataclass

from specs.document import BuildSpec

Point = tuple[float, float]


@dataclass(frozen=True)
class String:
    number: int
    pitch: str
    frequency_hz: float
    scale_mm: float
    nut: Point
    bridge: Point
    gauge_mm: float
    unit_mass_kg_m: float
    unit_mass_estimated: bool
    tension_n: float
    inharmonicity: float
    setback_mm: float
    """Extra length behind the scale point that makes fret 12 true, the string's ends taken as hinged."""
    saddle_window_mm: tuple[float, float]
    """Nearest and farthest place behind the scale point to drill for."""
    residual_cents: tuple[float, ...]
    """What stays out of tune at each fret with that setback; the open string first, 0 by definition."""
    core_estimated: bool
    setback_range_mm: tuple[float, float] | None
    """Setback with an estimated core thinner and thicker by its error (infinite where none serves); else None."""


@dataclass(frozen=True)
class Fret:
    """The line of one fret; fret 0 is the nut."""

    fret: int
    angle_deg: float
    bass_edge: Point
    treble_edge: Point
    slot_mm: float
    wire_mm: float
    centre_mm: float
    blank_x: tuple[float, float]
    from_nut_mm: tuple[float, ...]
    error_cents: tuple[float, ...]
    edge_from_nut_mm: tuple[float, float]
    """Distance from the nut along the bass-side and the treble-side board edge."""
    bend_radius_mm: float | None
    """Radius to bend wire and caul to along the slanted fret; None on a flat board."""


@dataclass(frozen=True)
class WorstError:
    cents: float
    fret: int
    string: int


@dataclass(frozen=True)
class Board:
    length_mm: float
    width_nut_mm: float
    width_end_mm: float
    wire_total_mm: float
    worst_error: WorstError
    outline: tuple[Point, Point, Point, Point]
    """Corners: nut bass, nut treble, end treble, end bass."""
    hump_mm: float
    """Greatest rise of the surface under an outer string over its chord; 0 on a flat board or a true cone."""


@dataclass(frozen=True)
class Tension:
    total_n: float
    mean_n: float
    evenness_pct: float


@dataclass(frozen=True)
class RowPlace:
    """One coil row: the trade numbers it senses, bass first, where, and the line to draw through them."""

    strings: tuple[int, ...]
    sensed: tuple[Point, ...]
    line: tuple[Point, Point]
    error_fraction: float
    error_mm: float


@dataclass(frozen=True)
class PickupPlace:
    """A housing's line and what it senses; the centre is measured on y = 0 from the bridge line toward the nut."""

    name: str
    angle_deg: float
    centre_mm: float
    fractions: tuple[float, ...]
    error_fraction: float
    error_mm: float
    needed_span_mm: float
    rows: tuple[RowPlace, ...]

    @property
    def off_string(self) -> bool:
        """Whether some row lies behind the bridge or the nut, where there is nothing to sense."""
        return not all(0 < fraction < 1 for fraction in self.fractions)


@dataclass(frozen=True)
class Derived:
    spec: BuildSpec
    strings: tuple[String, ...]
    frets: tuple[Fret, ...]
    board: Board
    tension: Tension
    pickups: tuple[PickupPlace, ...]

    @property
    def nut_angle_deg(self) -> float:
        """Angle of the nut line; positive when its treble end is nearer the bridge."""
        return self.frets[0].angle_deg

    @property
    def bridge_angle_deg(self) -> float:
        """Angle of the bridge line, same sign as the frets'."""
        from math import atan2, degrees

        (x_bass, y_bass), (x_treble, y_treble) = self.strings[0].bridge, self.strings[-1].bridge
        return degrees(atan2(x_treble - x_bass, abs(y_treble - y_bass)))


@dataclass(frozen=True)
class Finding:
    """A rule that fired: its slug, severity (error, warning, note), the field it points at, why, and the figure."""

    rule: str
    severity: str
    field: str
    message: str
    figure: float | str | None
    source: str
    operations: tuple[str, ...] = ()
    """Operations whose task prints a note."""


@dataclass(frozen=True)
class Material:
    """One line of stuff to have in hand: item, quantity with its unit, and how it was computed, in words."""

    group: str
    item: str
    quantity: float
    unit: str
    how: str
