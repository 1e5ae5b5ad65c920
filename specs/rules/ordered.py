"""The instrument as ordered, and the questions that more than one rule asks about it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import log2

from specs.derived import Derived
from specs.document import BuildSpec
from specs.facts import OrderFacts

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
        return min(
            abs(right.nut[1] - left.nut[1]) - (left.gauge_mm + right.gauge_mm) / 2
            for left, right in pairwise(self.derived.strings)
        )

    @cached_property
    def notes(self) -> tuple[int, ...]:
        """The open strings as whole semitones, A4 being 69, whatever the reference pitch."""
        reference = self.spec.strings.reference_pitch_hz
        return tuple(round(69 + 12 * log2(string.frequency_hz / reference)) for string in self.derived.strings)
