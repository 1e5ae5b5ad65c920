"""A smooth closed curve: the periodic cubic B-spline of a control polygon, its points and the area it encloses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt

from specs.derived import Point

_GAUSS = ((0.5 - sqrt(0.15), 5 / 18), (0.5, 8 / 18), (0.5 + sqrt(0.15), 5 / 18))
"""Three-point Gauss rule on 0..1, exact up to degree five. **Source**: standard quadrature, from memory."""


@dataclass(frozen=True)
class ClosedCurve:
    """The curve of a control polygon, in its order; curvature is continuous everywhere."""

    controls: tuple[Point, ...]

    def at(self, parameter: float) -> Point:
        """The curve's point, the parameter running once round from 0 to the number of controls."""
        place, share = divmod(parameter, 1)
        return self._blend(int(place), _weights(share))

    def towards(self, parameter: float) -> Point:
        """The derivative there."""
        place, share = divmod(parameter, 1)
        return self._blend(int(place), _slopes(share))

    def polygon(self, points_a_span: int = 24) -> tuple[Point, ...]:
        """Points of the curve, evenly in the parameter, the first not repeated."""
        return _points(self, points_a_span)

    @property
    def area_mm2(self) -> float:
        """Enclosed area, exact, positive counter-clockwise. **Source**: Green's theorem, half ∮ x dy − y dx."""
        return _area_mm2(self)

    def cross(self, parameter: float) -> float:
        """x dy − y dx there, twice the area swept from the origin for each step of the parameter."""
        (x, y), (dx, dy) = self.at(parameter), self.towards(parameter)
        return x * dy - y * dx

    def _blend(self, place: int, weights: Sequence[float]) -> Point:
        near = [self.controls[(place + step) % len(self.controls)] for step in (-1, 0, 1, 2)]
        x, y = (sum(w * point[axis] for w, point in zip(weights, near, strict=True)) for axis in (0, 1))
        return x, y


@lru_cache(maxsize=32)
def _points(curve: ClosedCurve, points_a_span: int) -> tuple[Point, ...]:
    """The points of a curve asked for again and again while one instrument is computed."""
    once = curve.controls
    spans = zip((*once[-1:], *once[:-1]), once, (*once[1:], *once[:1]), (*once[2:], *once[:2]), strict=True)
    bases = _bases(points_a_span)
    return tuple(
        (a * p[0] + b * q[0] + c * r[0] + d * s[0], a * p[1] + b * q[1] + c * r[1] + d * s[1])
        for p, q, r, s in spans
        for a, b, c, d in bases
    )


@lru_cache(maxsize=8)
def _bases(points_a_span: int) -> tuple[tuple[float, ...], ...]:
    return tuple(_weights(step / points_a_span) for step in range(points_a_span))


@lru_cache(maxsize=32)
def _area_mm2(curve: ClosedCurve) -> float:
    spans = range(len(curve.controls))
    return sum(weight * curve.cross(span + share) for span in spans for share, weight in _GAUSS) / 2


def _weights(t: float) -> tuple[float, ...]:
    """Uniform cubic B-spline basis. **Source**: standard, from memory."""
    return (1 - t) ** 3 / 6, (3 * t**3 - 6 * t**2 + 4) / 6, (-3 * t**3 + 3 * t**2 + 3 * t + 1) / 6, t**3 / 6


def _slopes(t: float) -> tuple[float, ...]:
    return -((1 - t) ** 2) / 2, (3 * t**2 - 4 * t) / 2, (-3 * t**2 + 2 * t + 1) / 2, t**2 / 2
