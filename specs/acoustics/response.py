"""How loud each harmonic of a string is, from where it is plucked and where the pickups sense it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import copysign, fsum, pi, remainder, sin


def _sine_of_turns(half_turns: float) -> float:
    """sin(π·x), exactly 0 at every whole x, so that a node is silent."""
    rest = remainder(half_turns, 2)
    folded = copysign(1 - abs(rest), rest) if abs(rest) > 0.5 else rest
    return sin(pi * folded)


def sensed(harmonic: int, fraction: float) -> float:
    """Share of a harmonic that a coil row senses, with its sign; ``fraction`` of the sounding length from the bridge.

    **Source**: the standing wave of an ideal string, sin(n·π·q); decomposition as in M. Zollner, Physics of the
    Electric Guitar, section 2.8.
    """
    return _sine_of_turns(harmonic * fraction)


def heard(harmonic: int, rows: Iterable[tuple[float, float]]) -> float:
    """How loud a harmonic is, 0 or more, through rows of (fraction, strength), a reversed row's strength negative."""
    return abs(fsum(strength * sensed(harmonic, fraction) for fraction, strength in rows))


def plucked(harmonic: int, fraction: float) -> float:
    """How strongly a pluck at that fraction moves a harmonic, with its sign, as velocity against height at the pluck.

    **Source**: N. H. Fletcher and T. D. Rossing, The Physics of Musical Instruments, chapter 2 (from memory):
    displacement goes with sin(n·π·u)/n², velocity with one power of n less.
    """
    return sensed(harmonic, fraction) / harmonic


def fretted(fraction: float, fret: float) -> float:
    """The fraction of the sounding length when the string is stopped at a fret; 1 or more lies behind the fret."""
    return fraction * 2.0 ** (fret / 12)


def curve(rows: Sequence[tuple[float, float]], harmonics: int, pluck: float | None = None) -> tuple[float, ...]:
    """Loudness of harmonics 1 to ``harmonics`` through the rows, of a string plucked at a fraction if one is given."""
    return tuple(
        heard(harmonic, rows) * (1.0 if pluck is None else abs(plucked(harmonic, pluck)))
        for harmonic in range(1, harmonics + 1)
    )
