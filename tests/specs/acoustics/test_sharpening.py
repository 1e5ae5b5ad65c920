"""Sharpening by pressing, against 40 digits where subtracting the lengths themselves keeps no digit."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mpmath import mp, mpf

from specs.acoustics.sharpening import Heights, sharpening_cents, stretch_mm
from specs.acoustics.stiffness import Core, StiffString

RELATIVE = 1e-9
bounded = settings(derandomize=True, database=None, deadline=None, max_examples=200)


def exact_stretch(d: float, scale: float, low: float, high: float) -> mpf:
    with mp.workdps(40):
        d, scale, low, high = map(mpf, (d, scale, low, high))
        pressed = mp.sqrt(d**2 + low**2) + mp.sqrt((scale - d) ** 2 + high**2)
        return pressed - mp.sqrt(scale**2 + (high - low) ** 2)


@bounded
@given(st.floats(0.05, 0.88), st.floats(400, 1200), st.floats(0, 20), st.floats(0, 20))
def test_stretch_in_forty_digits(share, scale, low, high):
    """Relative to the stretch, not to the string."""
    d = share * scale
    exact = exact_stretch(d, scale, low, high)
    assert abs(stretch_mm(d, scale, Heights(low, high)) - exact) <= RELATIVE * exact


@bounded
@given(st.integers(1, 36), st.floats(0.1, 6), st.floats(1, 500), st.floats(0, 2), st.floats(0, 8))
def test_sharpening_in_forty_digits(fret, core, tension, low, high):
    scale, d = 900.0, 900.0 * (1 - 2 ** (-fret / 12))
    with mp.workdps(40):
        area, stiffness = mp.pi * mpf(core) ** 2 / 4, mp.pi**3 * 207000 * mpf(core) ** 4 / (64 * mpf(tension) * 900**2)
        stretch = 207000 * area / mpf(tension) * exact_stretch(d, scale, low, high) / 900
        stiff = mp.log(1 + stiffness * mpf(2) ** (mpf(fret) / 6)) - mp.log(1 + stiffness)
        exact = 600 / mp.log(2) * (stretch + stiff)
        computed = sharpening_cents(StiffString(scale, tension, Core(core)), Heights(low, high), fret, d)
        assert abs(computed - exact) <= RELATIVE * exact


def test_the_open_string_is_not_sharpened():
    assert sharpening_cents(StiffString(900.0, 150.0, Core(0.8)), Heights(0.3, 3.2), 0, 0.0) == 0


def test_a_higher_saddle_and_a_slacker_string_sharpen_more():
    """Common practice, no source."""

    def cents(tension, saddle):
        return sharpening_cents(StiffString(900.0, tension, Core(0.5)), Heights(0.3, saddle), 12, 450.0)

    assert cents(150, 4.0) > cents(150, 3.0)
    assert cents(120, 3.0) > cents(150, 3.0)


def test_no_height_no_stretch():
    assert stretch_mm(450.0, 900.0, Heights(0, 0)) == 0
    assert stretch_mm(450.0, 900.0, Heights(0, 4)) == pytest.approx(8 / 900, rel=1e-4)
