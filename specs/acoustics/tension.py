"""What a string pulls when it is tuned, and how even a set is."""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum

from specs.derived import Tension


def tension_n(unit_mass_kg_m: float, scale_mm: float, frequency_hz: float) -> float:
    """Tension in newtons of a string at pitch: mass per length x (2 x length x frequency)².

    **Source**: Mersenne's and Taylor's law of the stretched string (textbook), SI form.
    """
    return unit_mass_kg_m * (2 * (scale_mm / 1000) * frequency_hz) ** 2


def evenness_pct(tensions_n: Sequence[float]) -> float:
    """Spread of a set's tensions over their mean, in percent: 0 where every string pulls alike."""
    return (max(tensions_n) - min(tensions_n)) / (fsum(tensions_n) / len(tensions_n)) * 100


def pull(tensions_n: Sequence[float]) -> Tension:
    """Total and mean pull of a set in newtons, and its evenness."""
    total_n = fsum(tensions_n)
    return Tension(total_n, total_n / len(tensions_n), evenness_pct(tensions_n))
