"""What a place on the string lets be heard, against published nulls and the plucked string of a textbook."""

from math import pi, sin

import pytest

from specs.acoustics.response import curve, fretted, heard, plucked, sensed

DECIMALS = 1e-9


@pytest.mark.parametrize(
    ("fraction", "harmonic", "expected"),
    [(0.25, 4, 0), (0.25, 8, 0), (0.25, 1, 0.707106781), (0.2, 5, 0), (0.1, 5, 1), (0.5, 2, 0)],
)
def test_nodes(fraction, harmonic, expected):
    """A pickup a quarter of the string from the bridge hears no 4th, 8th ... harmonic (published measurement)."""
    assert heard(harmonic, [(fraction, 1)]) == pytest.approx(expected, abs=DECIMALS)


def test_a_node_is_exactly_silent():
    assert [sensed(harmonic, 0.25) for harmonic in (4, 8, 400)] == [0, 0, 0]


PLUCKED_AT_A_FIFTH = [1, 0.404508497, 0.179781554, 0.0625, 0, -0.027777778]


def test_pluck_at_a_fifth():
    """Displacement against the first harmonic, a_n = sin(n·π·u)/n²: N. H. Fletcher and T. D. Rossing, chapter 2."""
    displacement = [plucked(n, 0.2) / n / plucked(1, 0.2) for n in range(1, 7)]
    assert displacement == pytest.approx(PLUCKED_AT_A_FIFTH, abs=DECIMALS)


def test_two_rows_add_before_the_modulus():
    """In phase they add, against each other the common part cancels."""
    near, far = sin(3 * pi * 0.07), sin(3 * pi * 0.16)
    assert heard(3, [(0.07, 1), (0.16, 1)]) == pytest.approx(near + far, rel=1e-14)
    assert heard(3, [(0.07, 1), (0.16, -1)]) == pytest.approx(far - near, rel=1e-14)
    assert heard(3, [(0.1, 1), (0.1, -1)]) == 0


def test_fretting_moves_the_pickup_up_the_string():
    """The octave doubles the fraction: the pickup at an eighth then silences what one at a quarter does."""
    assert fretted(0.125, 12) == 0.25
    assert fretted(0.1, 0) == 0.1


def test_curve_multiplies_pluck_and_pickups():
    rows = [(0.07, 1.0), (0.16, 1.0)]
    assert curve(rows, 3) == tuple(heard(n, rows) for n in (1, 2, 3))
    assert curve(rows, 6, pluck=0.2)[4] == 0
    assert curve(rows, 2, pluck=0.2)[1] == pytest.approx(heard(2, rows) * abs(sin(0.4 * pi)) / 2, rel=1e-14)
