"""How sharp a string sounds when it is pressed to a fret: it is stretched, and its shorter end is stiffer.

Arranged so that nothing large is subtracted from anything nearly as large.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from specs.acoustics.stiffness import CENTS_PER_DOUBLE_LOG, StiffString


@dataclass(frozen=True)
class Heights:
    """How high a string lies over the fret plane at nut and saddle, in mm; the nut counts 0 with a zero fret."""

    nut_mm: float
    saddle_mm: float


def stretch_mm(from_nut_mm: float, scale_mm: float, heights: Heights) -> float:
    """How much longer a string of that scale becomes when pressed down so far from the nut, in mm.

    Each of the three lengths is told by how much it exceeds its own run, h²/(length + run).
    """
    to_saddle_mm = scale_mm - from_nut_mm
    return (
        _rise_mm(from_nut_mm, heights.nut_mm)
        + _rise_mm(to_saddle_mm, heights.saddle_mm)
        - _rise_mm(scale_mm, heights.saddle_mm - heights.nut_mm)
    )


def _rise_mm(run_mm: float, height_mm: float) -> float:
    return height_mm**2 / (hypot(run_mm, height_mm) + run_mm)


def sharpening_cents(string: StiffString, heights: Heights, fret: int, from_nut_mm: float) -> float:
    """How sharp the string stopped at a fret sounds against its length alone, in cents; 0 for the open string.

    Tension and stiffness are those of the uncompensated string. **Source**: first-order stretch of a steel core and
    Fletcher's stiff string; the method is in G. U. Varieschi and C. M. Gower, Am. J. Phys. 78, 47 (2010).
    """
    if fret == 0:
        return 0.0
    strain = stretch_mm(from_nut_mm, string.scale_mm, heights) / string.scale_mm
    pull = CENTS_PER_DOUBLE_LOG * string.core.stretch_n / string.tension_n * strain
    return pull + string.stiffening_cents(fret)
