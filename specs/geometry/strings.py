"""Where the strings run: their ends on nut and bridge, their own scales, and the straight lines of the frets.

Everything here is right-handed: the bass side has the negative y. The formulas are arranged so that what cancels in
the plane cancels on paper too: an angle or an intonation error that should be 0 is 0, and a small one keeps its digits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import expm1, fsum, hypot, log, log1p, sqrt
from typing import NamedTuple

from specs.derived import Point
from specs.document import BuildSpec
from specs.errors import Refused
from specs.geometry.lines import Crossline, Edge

LEAST_OPENNESS = 1e-3
"""A crossline more nearly parallel to a string or an edge than this is refused."""

_SEMITONE = log(2) / 12


def remaining(fret: float) -> float:
    """Share of a string between a fret and the bridge: 2^(−fret/12). **Source**: equal temperament."""
    return 1.0 if fret == 0 else 2.0 ** (-fret / 12)


def travelled(fret: float) -> float:
    """Share of a string between the nut and a fret: 1 − 2^(−fret/12)."""
    return 0.0 - expm1(-fret * _SEMITONE)


def places(gauges_mm: Sequence[float], spread_mm: float, spacing: str) -> tuple[float, ...]:
    """Centres of the strings as shares of the spread, −1/2 (bass) to +1/2 (treble).

    ``equal-gaps`` leaves the same air between neighbours; raises ValueError where no air is left.
    """
    last = len(gauges_mm) - 1
    if spacing == "equal-centres":
        return tuple(number / last - 0.5 for number in range(last + 1))
    half_pairs = [(wide + narrow) / 2 for wide, narrow in pairwise(gauges_mm)]
    air_mm = (spread_mm - fsum(half_pairs)) / last
    if air_mm <= 0:
        raise ValueError(f"strings this thick need more than {fsum(half_pairs):.2f} mm between the outer centres")
    inner = (fsum(half_pairs[:number]) + number * air_mm for number in range(1, last))
    return (-0.5, *(walked / spread_mm - 0.5 for walked in inner), 0.5)


class _Course(NamedTuple):
    """Where one string runs, and how far it drifts between its places at nut and bridge."""

    nut: Point
    bridge: Point
    scale_mm: float
    drift: float


@dataclass(frozen=True)
class Layout:
    """The plan of the strings before any wood: spreads, x-runs of the outer pair, and every string's place."""

    nut_spread_mm: float
    bridge_spread_mm: float
    bass_run_mm: float
    treble_run_mm: float
    run_difference_mm: float
    perpendicular_fret: float
    nut_places: tuple[float, ...]
    bridge_places: tuple[float, ...]

    @cached_property
    def mean_run_mm(self) -> float:
        """Distance from nut to bridge along the centre line."""
        return (self.bass_run_mm + self.treble_run_mm) / 2

    def spread_at(self, fret: float) -> float:
        """Distance between the outer centres where they cross the fret, square to the centre line, in mm."""
        return remaining(fret) * self.nut_spread_mm + travelled(fret) * self.bridge_spread_mm

    def line(self, fret: float) -> Crossline:
        """The line of a fret, whole or not; 0 is the nut. Square to the centre line at the perpendicular fret."""
        if fret not in self._lines:
            self._lines[fret] = self._line(fret)
        return self._lines[fret]

    @cached_property
    def _lines(self) -> dict[float, Crossline]:
        return {}

    def _line(self, fret: float) -> Crossline:
        p = self.perpendicular_fret
        offset_mm = self.run_difference_mm * remaining(p) * expm1((p - fret) * _SEMITONE)
        return Crossline(self.mean_run_mm * travelled(fret), offset_mm / self.spread_at(fret))

    @cached_property
    def bridge_line(self) -> Crossline:
        """The line through the outer strings' bridge points."""
        offset_mm = -self.run_difference_mm * remaining(self.perpendicular_fret)
        return Crossline(self.mean_run_mm, offset_mm / self.bridge_spread_mm)

    def nut_point(self, string: int) -> Point:
        """Where a string (0 is the bass) leaves the nut line."""
        return self._courses[string].nut

    def bridge_point(self, string: int) -> Point:
        """Where a string (0 is the bass) meets the bridge line, before compensation."""
        return self._courses[string].bridge

    def scale_mm(self, string: int) -> float:
        """True length of a string from nut line to bridge line."""
        return self._courses[string].scale_mm

    @cached_property
    def _courses(self) -> tuple[_Course, ...]:
        return tuple(map(self._course, self.nut_places, self.bridge_places))

    def _course(self, nut_place: float, bridge_place: float) -> _Course:
        nut = self.line(0).at(nut_place * self.nut_spread_mm)
        bridge = self.bridge_line.at(bridge_place * self.bridge_spread_mm)
        return _Course(nut, bridge, hypot(bridge[0] - nut[0], bridge[1] - nut[1]), nut_place - bridge_place)

    def stray(self, string: int, fret: float) -> float:
        """How much longer than its equal-tempered length a string sounds at a straight fret, as a share of that length.

        Exactly 0 for a string that keeps its place between nut and bridge, so for the outer two.
        """
        course, line = self._courses[string], self.line(fret)
        (x_nut, y_nut), (x_bridge, y_bridge) = course.nut, course.bridge
        advance_mm = x_bridge - x_nut - line.slope * (y_bridge - y_nut)
        widths = self.spread_at(self.perpendicular_fret) / self.spread_at(fret)
        return self.run_difference_mm * course.drift * travelled(fret) * widths / advance_mm

    def from_nut_mm(self, string: int, fret: float) -> float:
        """Distance along a string from its nut point to where it crosses the fret's line."""
        return (travelled(fret) - remaining(fret) * self.stray(string, fret)) * self.scale_mm(string)

    def error_cents(self, string: int, fret: float) -> float:
        """How far the straight fret sounds from equal temperament; positive is sharp."""
        return 100 / _SEMITONE * (0.0 - log1p(self.stray(string, fret)))


def layout(spec: BuildSpec) -> Layout:
    """The strings' plan of a spec, right-handed. Raises Refused at the nearest field where it cannot be drawn."""
    drift_mm = (spec.bridge.spread_mm - spec.nut.spread_mm) / 2
    bass_run_mm, treble_run_mm = (
        _run_mm(getattr(spec.scale, f"{side}_mm"), drift_mm, f"scale.{side}") for side in ("bass", "treble")
    )
    scales = spec.scale
    difference_mm = (scales.bass_mm - scales.treble_mm) * (scales.bass_mm + scales.treble_mm)
    plan = Layout(
        spec.nut.spread_mm, spec.bridge.spread_mm, bass_run_mm, treble_run_mm,
        difference_mm / (bass_run_mm + treble_run_mm), scales.perpendicular_fret,
        _places(spec, "nut"), _places(spec, "bridge"),
    )  # fmt: skip
    _refuse_fan_along_strings(plan, spec.fingerboard.frets)
    return plan


def _run_mm(scale_mm: float, drift_mm: float, field: str) -> float:
    if scale_mm <= abs(drift_mm):
        raise Refused.one(field, "too-short", "the string is shorter than its drift from nut to bridge: lengthen it")
    return sqrt((scale_mm - drift_mm) * (scale_mm + drift_mm))


def _places(spec: BuildSpec, end: str) -> tuple[float, ...]:
    section = getattr(spec, end)
    try:
        return places(spec.strings.gauges_mm, section.spread_mm, section.spacing)
    except ValueError as crowded:
        raise Refused.one(f"{end}.spread", "strings-touch", f"{crowded}: widen the spread") from crowded


def _refuse_fan_along_strings(plan: Layout, frets: int) -> None:
    drift_mm = (plan.bridge_spread_mm - plan.nut_spread_mm) / 2
    outer = Edge((0, 0), -drift_mm / plan.bass_run_mm), Edge((0, 0), drift_mm / plan.treble_run_mm)
    for line in (*map(plan.line, range(frets + 1)), plan.bridge_line):
        if min(string.openness(line) for string in outer) < LEAST_OPENNESS:
            raise Refused.one(
                "scale.perpendicular_fret", "fan-too-steep",
                f"a line at {abs(line.angle_deg):.1f}° runs along the strings: bring the two scales closer together, "
                "or move the perpendicular fret",
            )  # fmt: skip
