"""A straight line across the neck: nut, fret, bridge or board end, in plan view."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, degrees

from specs.derived import Point


@dataclass(frozen=True)
class Crossline:
    """The points x = centre + slope·y, in mm; the slope is positive when the treble end is nearer the bridge."""

    centre_mm: float
    slope: float

    @property
    def angle_deg(self) -> float:
        """Angle against the square of the centre line, within ± 90°."""
        return degrees(atan(self.slope)) + 0.0  # minus zero becomes zero

    def at(self, y_mm: float) -> Point:
        """The line's point at that distance from the centre line."""
        return self.centre_mm + self.slope * y_mm, y_mm

    def moved(self, toward_bridge_mm: float) -> Crossline:
        """The parallel line that far along the centre line toward the bridge."""
        return Crossline(self.centre_mm + toward_bridge_mm, self.slope)


@dataclass(frozen=True)
class Edge:
    """A line along the neck from a start point: y = y0 + slope·(x − x0), in mm."""

    start: Point
    slope: float

    def y_at(self, x_mm: float) -> float:
        """Distance from the centre line at that x."""
        return self.start[1] + self.slope * (x_mm - self.start[0])

    def openness(self, line: Crossline) -> float:
        """1 where the crossline is square to this edge's direction or the edge runs straight, toward 0 as the two
        become parallel, negative beyond."""
        return 1 - self.slope * line.slope

    def crossing(self, line: Crossline) -> Point:
        """Where the crossline meets this edge; needs an openness above 0."""
        return line.at(self.y_at(line.centre_mm) / self.openness(line))
