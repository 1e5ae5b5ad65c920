"""How stiff a string is: the core that bends, its inharmonicity, and where its partials fall.

Lengths in mm and forces in newtons, so the modulus is in N/mm².
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import expm1, log, log1p, pi, sqrt

STEEL_N_MM2 = 207_000.0
"""Young's modulus of music wire, 207 GPa. **Source**: spring-wire tables, 30 million psi."""

CENTS_PER_DOUBLE_LOG = 600 / log(2)
"""Cents per unit of the natural logarithm of a squared frequency ratio, as of a tension ratio."""

ESTIMATE_ERROR = 0.10
"""How far an estimated core may be off, as a share."""


@dataclass(frozen=True)
class Core:
    """The wire that carries a string's bending stiffness and its stretch; ``estimated`` where nobody measured it."""

    diameter_mm: float
    estimated: bool = False

    @property
    def stretch_n(self) -> float:
        """E·A: the pull in newtons that would double the core's length."""
        return STEEL_N_MM2 * pi * self.diameter_mm**2 / 4

    @property
    def bending_n_mm2(self) -> float:
        """E·I: the core's resistance to bending in N·mm²."""
        return STEEL_N_MM2 * pi * self.diameter_mm**4 / 64

    def off_by(self, share: float) -> Core:
        """The core with its diameter wrong by that share, −0.1 for ten percent thinner."""
        return Core(self.diameter_mm * (1 + share), self.estimated)


def core(gauge_mm: float, winding: str, given_mm: float | None = None) -> Core:
    """The core of a string: the given diameter, a plain string's gauge, else the estimate for a wound one.

    **Source**: M. Zollner, Physics of the Electric Guitar, section 1.2: the core, not the gauge, carries the bending
    stiffness. The estimate is from memory (a .045 in string has a core of .019 in); good to some ten percent.
    """
    if given_mm is not None:
        return Core(given_mm)
    if winding == "plain":
        return Core(gauge_mm)
    return Core(min(gauge_mm, 0.3175 + 0.14 * gauge_mm), estimated=True)


@dataclass(frozen=True)
class StiffString:
    """A string at pitch: its own scale before compensation, its tension and its core."""

    scale_mm: float
    tension_n: float
    core: Core

    @cached_property
    def inharmonicity(self) -> float:
        """B of the open string: partial n lies at n·f0·sqrt(1 + B·n²).

        **Source**: H. Fletcher, J. Acoust. Soc. Am. 36, 203 (1964): π³·E·d⁴ / (64·T·L²).
        """
        return pi**2 * self.core.bending_n_mm2 / (self.tension_n * self.scale_mm**2)

    def inharmonicity_at(self, fret: float) -> float:
        """B of the string stopped at a fret: four times the open string's at the octave."""
        return self.inharmonicity * 2.0 ** (fret / 6)

    def stiffening_cents(self, fret: float) -> float:
        """How much more stiffness raises the fundamental stopped at a fret than it raises the open one."""
        growth = self.inharmonicity * expm1(fret * log(2) / 6)
        return CENTS_PER_DOUBLE_LOG * log1p(growth / (1 + self.inharmonicity))

    @property
    def clamp_mm(self) -> float:
        """sqrt(E·I/T): what one clamped end adds to the setback of a hinged one. **Source**: Morse, from memory."""
        return sqrt(self.core.bending_n_mm2 / self.tension_n)

    def with_core_off_by(self, share: float) -> StiffString:
        """The same string with its core's diameter wrong by that share."""
        return StiffString(self.scale_mm, self.tension_n, self.core.off_by(share))


def partial_hz(partial: int, fundamental_hz: float, inharmonicity: float) -> float:
    """Frequency of a partial of a stiff string, the fundamental being that of the limp one."""
    return partial * fundamental_hz * sqrt(1 + inharmonicity * partial**2)


def partial_cents(partial: int, inharmonicity: float) -> float:
    """How far a partial lies above its harmonic of the limp string, in cents."""
    return CENTS_PER_DOUBLE_LOG * log1p(inharmonicity * partial**2)
