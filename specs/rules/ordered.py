"""The instrument as ordered, and the questions that more than one rule asks about it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import log2

from specs.derived import Derived
from specs.document import BuildSpec
from specs.errors import Refused
from specs.facts import OrderFacts
from specs.geometry.body import body_outline
from specs.geometry.headstock import Post, StringPath, post_places, string_paths
from specs.geometry.polygons import Polygon
from specs.wood.mass import Forecast, forecast_of
from specs.wood.parts import Hang, hang
from specs.wood.planks import measured_kg_m3

INCH_MM = 25.4
FLAT_FAN_DEG = 0.01
TRANSPARENT_COLOURS = ("dyed", "burst", "candy", "fade")


@dataclass(frozen=True)
class Ordered:
    """A computed instrument with the facts of its order."""

    derived: Derived
    facts: OrderFacts

    @property
    def spec(self) -> BuildSpec:
        """The document the instrument was computed from."""
        return self.derived.spec

    @property
    def fretted(self) -> bool:
        """Whether wire goes into the board."""
        return self.spec.fingerboard.frets_kind == "fretted"

    @property
    def headless(self) -> bool:
        """Whether the strings are tuned at the bridge."""
        return self.spec.neck.headstock == "headless"

    @property
    def active(self) -> bool:
        """Whether anything in the instrument draws current."""
        electronics = self.spec.electronics
        return electronics.circuit.startswith("active") or electronics.supply != "none" or self.active_pickups

    @property
    def active_pickups(self) -> bool:
        """Whether any pickup carries its own preamplifier."""
        return any(pickup.active for pickup in self.spec.pickups)

    @property
    def blended(self) -> bool:
        """Whether a blend control joins the pickups."""
        electronics = self.spec.electronics
        return electronics.blend or electronics.circuit == "passive blend"

    @property
    def transparent(self) -> bool:
        """Whether the colour lets the wood show."""
        return self.spec.finish.colour in TRANSPARENT_COLOURS

    @property
    def nut_deg(self) -> float:
        """Angle of the nut line off square, without sign."""
        return abs(self.derived.nut_angle_deg)

    @property
    def bridge_deg(self) -> float:
        """Angle of the bridge line off square, without sign."""
        return abs(self.derived.bridge_angle_deg)

    @property
    def steepest_deg(self) -> float:
        """The larger of the nut's and the bridge's angle, without sign."""
        return max(self.nut_deg, self.bridge_deg)

    @property
    def on_a_fan(self) -> bool:
        """Whether anything stands off square at all."""
        return self.steepest_deg > FLAT_FAN_DEG

    @cached_property
    def steepest_fret_deg(self) -> float:
        """The largest angle of a fret, the nut not counted, without sign."""
        return max(abs(fret.angle_deg) for fret in self.derived.frets[1:])

    @cached_property
    def nut_gap_mm(self) -> float:
        """The smallest air between neighbouring strings at the nut, square to the centre line."""
        return self._gap_mm("nut")

    @cached_property
    def bridge_gap_mm(self) -> float:
        """The same at the bridge; negative where strings overlap."""
        return self._gap_mm("bridge")

    def _gap_mm(self, end: str) -> float:
        return min(
            abs(getattr(right, end)[1] - getattr(left, end)[1]) - (left.gauge_mm + right.gauge_mm) / 2
            for left, right in pairwise(self.derived.strings)
        )

    @cached_property
    def posts(self) -> tuple[Post, ...]:
        """The tuner posts; none on a headless neck, or where layout and strings do not agree."""
        try:
            return post_places(self.derived)
        except Refused:
            return ()

    @cached_property
    def string_paths(self) -> tuple[StringPath, ...]:
        """Every string's way to its post; none without posts, or where a post would stand on the nut."""
        try:
            return string_paths(self.derived, self.posts) if self.posts else ()
        except Refused:
            return ()

    @cached_property
    def body(self) -> Polygon | None:
        """The body's outline; None where none can be drawn around the strings."""
        try:
            return body_outline(self.derived).polygon()
        except Refused:
            return None

    @cached_property
    def hanging(self) -> Hang | None:
        """The instrument taken apart and weighed, its planks as weighed by hand; None where it cannot be drawn."""
        try:
            return hang(self.derived, measured_kg_m3(self.spec, self.facts.planks))
        except Refused:
            return None

    @property
    def forecast(self) -> Forecast | None:
        """What it will weigh; None where that cannot be told."""
        return self.hanging and forecast_of(self.hanging)

    @cached_property
    def notes(self) -> tuple[int, ...]:
        """The open strings as whole semitones, A4 being 69, whatever the reference pitch."""
        reference = self.spec.strings.reference_pitch_hz
        return tuple(round(69 + 12 * log2(string.frequency_hz / reference)) for string in self.derived.strings)
