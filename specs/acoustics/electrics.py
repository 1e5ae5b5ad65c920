"""Where a passive pickup with its cable resonates, and how strongly its controls let it.

A coil with its capacitance is a second-order low-pass. **Source**: H. E. W. Lemme, The Secrets of Electric Guitar
Pickups. Good for plain coils on magnet rods; covers and steel cores flatten the peak.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import fsum, inf, pi, sqrt


def resonance_hz(inductance_h: float, winding_f: float, cable_f: float = 0.0) -> float:
    """Resonance in hertz: 1/(2π·sqrt(L·C)), C the capacitance of winding and cable in farad."""
    return 1 / (2 * pi * sqrt(inductance_h * (winding_f + cable_f)))


def in_parallel_ohm(resistances_ohm: Iterable[float]) -> float:
    """Resistance of pots and input side by side, in ohm; infinite where there is none."""
    conductance = fsum(1 / resistance for resistance in resistances_ohm)
    return 1 / conductance if conductance else inf


def loaded_q(
    inductance_h: float, capacitance_f: float, loads_ohm: Iterable[float], winding_ohm: float = 0.0
) -> float:  # fmt: skip
    """Height of the resonance against the level far below it: R·sqrt(C/L) with the loads in parallel.

    The winding's own resistance in series, where given, lowers it. **Source**: the loaded RLC low-pass (textbook).
    """
    load_ohm = in_parallel_ohm(loads_ohm)
    damping = sqrt(inductance_h / capacitance_f) / load_ohm + winding_ohm * sqrt(capacitance_f / inductance_h)
    return sqrt(1 + winding_ohm / load_ohm) / damping if damping else inf
