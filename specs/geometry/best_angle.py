"""What a slanted pickup senses of every string, and the angle at which its rows sense the most equal shares.

A housing's line crosses the centre line c before the bridge line and leans by a slope, the tangent of its angle. A
string then is sensed at the fraction (c + (bridge slope − slope)·y − offset·sqrt(1 + slope²)) / (run + slope·drift).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import hypot, radians, tan
from typing import NamedTuple

from specs.geometry.strings import LEAST_OPENNESS

WIDEST_DEG = 80
STEP_DEG = 4
"""The misses are nearly a square of slope and secant, which has two minima at most, and those far apart."""
SLOPE_TOLERANCE = 1e-13
MOST_STEPS = 100

_SCANNED = tuple(tan(radians(angle)) for angle in range(-WIDEST_DEG, WIDEST_DEG + 1, STEP_DEG))


class SensedString(NamedTuple):
    """A string seen from the bridge: y of its bridge point, its run along the centre line, how far it drifts to the
    nut, and the offset toward the bridge of the row it stands in, in mm."""

    bridge_y_mm: float
    run_mm: float
    drift_mm: float
    offset_mm: float

    def y_mm(self, fraction: float) -> float:
        """Distance from the centre line at that fraction from the bridge."""
        return self.bridge_y_mm + fraction * self.drift_mm


@dataclass(frozen=True)
class Sensing:
    """The strings over one pickup, bass to treble, and the fraction they should all be sensed at."""

    bridge_slope: float
    strings: tuple[SensedString, ...]
    target: float

    def openness(self, slope: float) -> float:
        """1 for a line square to every string, toward 0 as it turns along one, negative beyond."""
        return min(1 + slope * string.drift_mm / string.run_mm for string in self.strings)

    def fractions(self, centre_mm: float, slope: float) -> tuple[float, ...]:
        """The share of each string from its bridge point to where its row crosses it; negative behind the bridge."""
        return tuple((centre_mm + lead_mm) / width_mm for lead_mm, width_mm in self._crossed(slope))

    def centre_mm(self, slope: float) -> float:
        """The centre that makes the sum of squared misses least for a line of that slope."""
        return self._centre_mm(self._crossed(slope))

    def miss(self, slope: float) -> float:
        """The least sum of squared misses of the fractions at that slope."""
        return sum([off**2 for off, _, _ in self._misses(slope)])

    def best_slope(self) -> float | None:
        """The slope within ± 80° of the least sum of squared misses, to rounding; None where it is no true minimum.

        Brackets every change of the gradient from falling to rising on a scan, then takes Newton's steps.
        """
        scanned = [slope for slope in _SCANNED if self.openness(slope) >= LEAST_OPENNESS]
        lowest = [self._lowest(low, high) for low, high in self._brackets(scanned)]
        if not lowest:
            return None
        best = min(lowest, key=lambda slope: (self.miss(slope), abs(slope)))
        at_the_ends = min(self.miss(scanned[0]), self.miss(scanned[-1]))
        return best if self.miss(best) <= at_the_ends else None

    def _crossed(self, slope: float) -> list[tuple[float, float]]:
        """Of each string: what its fraction has over the centre, and what divides both, in mm."""
        secant, lean = hypot(1, slope), self.bridge_slope - slope
        return [
            (lean * y_mm - secant * offset_mm, run_mm + slope * drift_mm)
            for y_mm, run_mm, drift_mm, offset_mm in self.strings
        ]

    def _centre_mm(self, crossed: list[tuple[float, float]]) -> float:
        wanted = weights = 0.0
        for lead_mm, width_mm in crossed:
            wanted += (self.target - lead_mm / width_mm) / width_mm
            weights += 1 / (width_mm * width_mm)
        return wanted / weights

    def _misses(self, slope: float) -> list[tuple[float, float, float]]:
        """Of each string, with the best centre for that slope: how far its fraction is off, how fast that turns with
        the slope, and what divides the fraction, in mm."""
        crossed = self._crossed(slope)
        centre_mm, sine = self._centre_mm(crossed), slope / hypot(1, slope)
        misses = []
        for (lead_mm, width_mm), (y_mm, _, drift_mm, offset_mm) in zip(crossed, self.strings, strict=True):
            fraction = (centre_mm + lead_mm) / width_mm
            turned = -(y_mm + fraction * drift_mm + offset_mm * sine) / width_mm
            misses.append((fraction - self.target, turned, width_mm))
        return misses

    def _gradient(self, slope: float) -> float:
        """Half the derivative by the slope of the least sum of squared misses."""
        return sum([off * turned for off, turned, _ in self._misses(slope)])

    def _gradient_and_curve(self, slope: float) -> tuple[float, float]:
        """Half the first and half the second derivative by the slope of the least sum of squared misses."""
        cubed = hypot(1, slope) ** 3
        first = by_slope = mixed = by_centre = 0.0
        for (off, turned, width_mm), string in zip(self._misses(slope), self.strings, strict=True):
            bent = -(string.offset_mm / cubed + 2 * turned * string.drift_mm) / width_mm
            first += off * turned
            by_slope += turned**2 + off * bent
            mixed += (turned - off * string.drift_mm / width_mm) / width_mm
            by_centre += 1 / width_mm**2
        return first, by_slope - mixed**2 / by_centre

    def _brackets(self, scanned: list[float]) -> Iterator[tuple[float, float]]:
        graded = [(slope, self._gradient(slope)) for slope in scanned]
        for (low, falling), (high, rising) in pairwise(graded):
            if falling < 0 <= rising:
                yield low, high

    def _lowest(self, low: float, high: float) -> float:
        """The zero of the gradient between a falling and a rising slope: Newton's steps, halving where one leaves."""
        slope = (low + high) / 2
        for _ in range(MOST_STEPS):
            first, second = self._gradient_and_curve(slope)
            low, high = (slope, high) if first < 0 else (low, slope)
            following = slope - first / second if second > 0 else (low + high) / 2
            following = following if low <= following <= high else (low + high) / 2
            if abs(following - slope) <= SLOPE_TOLERANCE:
                return following
            slope = following
        return slope
