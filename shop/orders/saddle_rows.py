"""The saddles of an instrument as a table says them: setback, window, what stays out of tune, whose core is a guess."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isinf

from specs.derived import Derived, String
from specs.geometry.saddles import shop_setback_mm


@dataclass(frozen=True)
class SaddleRow:
    """One string: setback and window behind its scale point in mm, and the fret that stays furthest out of tune."""

    number: int
    pitch: str
    inharmonicity_ppm: float
    setback_mm: float
    window_mm: tuple[float, float]
    worst_cents: float
    worst_fret: int
    estimated: bool
    range_mm: tuple[float, float | None] | None
    """Setback with the estimated core 10 % thinner and thicker; None at the end where no saddle would serve."""
    shop_mm: float | None
    """The shop's own median setback of this string, once it has measured enough of them."""
    measured: int


def saddle_rows(derived: Derived, measured_mm: Mapping[int, Sequence[float]] | None = None) -> tuple[SaddleRow, ...]:
    """A row for every string, the highest first as the trade counts them; ``measured_mm`` by trade number."""
    return tuple(_row(string, (measured_mm or {}).get(string.number, ())) for string in reversed(derived.strings))


def _row(string: String, measured_mm: Sequence[float]) -> SaddleRow:
    fret = _worst(string.residual_cents)
    return SaddleRow(
        number=string.number,
        pitch=string.pitch,
        inharmonicity_ppm=string.inharmonicity * 1e6,
        setback_mm=string.setback_mm,
        window_mm=string.saddle_window_mm,
        worst_cents=string.residual_cents[fret],
        worst_fret=fret,
        estimated=string.core_estimated,
        range_mm=_finite(string.setback_range_mm),
        shop_mm=shop_setback_mm(measured_mm),
        measured=len(measured_mm),
    )


def _worst(cents: Sequence[float]) -> int:
    return max(range(len(cents)), key=lambda fret: abs(cents[fret]))


def _finite(between: tuple[float, float] | None) -> tuple[float, float | None] | None:
    return between and (between[0], None if isinf(between[1]) else between[1])
