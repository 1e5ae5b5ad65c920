"""Inharmonicity against Young's constant, measured bass strings, and a worked plain string."""

from math import log, pi

import pytest

from specs.acoustics.pitch import frequency_hz
from specs.acoustics.stiffness import Core, StiffString, core, partial_cents, partial_hz
from specs.acoustics.tension import tension_n
from specs.tables import load_tables

STEEL_KG_M3 = 7850
YOUNG_CM, YOUNG_IN = 3.4e13, 5.3e12
YOUNG_TOLERANCE = 0.04
"""Two printed digits, and 200 GPa there against 207 GPa here."""


def plain_string(diameter_mm: float, scale_mm: float, hertz: float) -> StiffString:
    mass_kg_m = STEEL_KG_M3 * pi * (diameter_mm / 1000) ** 2 / 4
    return StiffString(scale_mm, tension_n(mass_kg_m, scale_mm, hertz), core(diameter_mm, "plain"))


@pytest.mark.parametrize(("unit_mm", "constant"), [(10, YOUNG_CM), (25.4, YOUNG_IN)], ids=["cm", "in"])
def test_young_constant(unit_mm, constant):
    """R. W. Young, J. Acoust. Soc. Am. 24 (1952): cents = K·d²/(f²·L⁴)·n² of plain piano wire."""
    diameter_mm, scale_mm, hertz = 1.0, 800.0, 110.0
    string = plain_string(diameter_mm, scale_mm, hertz)
    per_square = constant * (diameter_mm / unit_mm) ** 2 / (hertz**2 * (scale_mm / unit_mm) ** 4)
    assert 600 / log(2) * string.inharmonicity == pytest.approx(per_square, rel=YOUNG_TOLERANCE)


def test_worked_plain_string():
    """A .020 in plain string at C3 on 34 in, computed with 50 digits."""
    string = plain_string(0.508, 863.6, 130.8128)
    assert string.tension_n == pytest.approx(81.2218, abs=1e-3)
    assert string.inharmonicity == pytest.approx(0.00011025467, rel=1e-6)
    assert partial_cents(10, string.inharmonicity) == pytest.approx(9.49160, abs=1e-4)


def low_b() -> StiffString:
    """An ordinary .130 in B0 at 34 in, its core estimated."""
    mass_kg_m = load_tables().strings.unit_weight(3.302, "nickel-plated round").kg_m
    return StiffString(863.6, tension_n(mass_kg_m, 863.6, frequency_hz("B0")), core(3.302, "nickel-plated round"))


KEMP_TOLERANCE = 0.15
"""The abstract says "about 100 cents"."""


@pytest.mark.parametrize(("fret", "partial"), [(12, 10), (21, 6)])
def test_low_b_as_measured(fret, partial):
    """J. A. Kemp, SN Applied Sciences 2:636 (2020), abstract: about 100 cents."""
    assert partial_cents(partial, low_b().inharmonicity_at(fret)) == pytest.approx(100, rel=KEMP_TOLERANCE)


def test_partials_of_a_stiff_string():
    assert partial_hz(3, 100.0, 0.0) == 300
    assert partial_hz(10, 100.0, 0.01) == pytest.approx(1000 * 2**0.5, rel=1e-15)
    assert partial_cents(10, 0.03) == pytest.approx(1200, rel=1e-15)


def test_inharmonicity_grows_fourfold_in_an_octave():
    string = low_b()
    assert string.inharmonicity_at(12) == pytest.approx(4 * string.inharmonicity, rel=1e-15)
    assert string.inharmonicity_at(0) == string.inharmonicity
    assert string.stiffening_cents(0) == 0


def test_stiffening_is_what_the_fundamentals_say():
    string = StiffString(800.0, 100.0, Core(3.0))
    stopped, opened = (partial_cents(1, string.inharmonicity_at(fret)) for fret in (7, 0))
    assert string.stiffening_cents(7) == pytest.approx(stopped - opened, rel=1e-12)


def test_a_longer_scale_is_less_inharmonic_at_equal_pitch_and_tension():
    """Common practice, no source: what a long bass scale is for. Equal tension takes a lighter string."""
    short, long = (StiffString(scale_mm, 150.0, core(3.302, "nickel-plated round")) for scale_mm in (863.6, 939.8))
    assert long.inharmonicity < short.inharmonicity


def test_core():
    assert core(0.5, "plain") == Core(0.5)
    assert core(1.143, "flat", 0.45) == Core(0.45)
    assert core(0.3, "nickel-plated round") == Core(0.3, estimated=True)


def test_estimated_core_of_a_treble_string():
    """A .045 in string has a core of .019 in (from memory), to half a thousandth."""
    assert core(1.143, "nickel-plated round").diameter_mm / 25.4 == pytest.approx(0.019, abs=0.0005)


def test_core_off_by_a_tenth():
    thicker = low_b().with_core_off_by(0.1)
    assert thicker.inharmonicity == pytest.approx(low_b().inharmonicity * 1.1**4, rel=1e-12)
    assert thicker.core.estimated
