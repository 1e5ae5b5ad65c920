"""Resonance against a maker's printed pairs and the ranges of a published article."""

from math import inf, pi, sqrt

import pytest

from specs.acoustics.electrics import in_parallel_ohm, loaded_q, resonance_hz

PRINTED_TOLERANCE = 0.06
"""The maker says "around 6000 Hz" and "a little above 2000 Hz"."""


@pytest.mark.parametrize(("capacitance_f", "printed_hz"), [(300e-12, 6000), (2400e-12, 2000)])
def test_printed_pairs(capacitance_f, printed_hz):
    """Wilde Pickups (B. Lawrence), Instrument Cable and Sound: 2.4 H with two capacitances."""
    assert resonance_hz(2.4, capacitance_f) == pytest.approx(printed_hz, rel=PRINTED_TOLERANCE)


@pytest.mark.parametrize(
    ("inductance_h", "winding_pf", "cable_pf"), [(2.0, 80, 1000), (4.0, 120, 500), (6.0, 200, 300)]
)
def test_ordinary_pickups_resonate_where_the_article_says(inductance_h, winding_pf, cable_pf):
    """H. E. W. Lemme, The Secrets of Electric Guitar Pickups: 1-10 H, winding 80-200 pF, cable 300-1000 pF resonate
    at 2-5 kHz, with a peak of 1 to 4."""
    winding_f, cable_f = winding_pf * 1e-12, cable_pf * 1e-12
    assert 2000 < resonance_hz(inductance_h, winding_f, cable_f) < 5000
    assert 1 < loaded_q(inductance_h, winding_f + cable_f, (500e3, 500e3, 1e6), 8e3) < 4


def test_a_tone_capacitor_joins_the_cable():
    """4 H with 47 nF, tone turned down: 367 Hz (worked example)."""
    assert resonance_hz(4.0, 47e-9) == pytest.approx(367.064, abs=1e-2)


def test_pots_stand_side_by_side():
    assert in_parallel_ohm([500e3, 500e3]) == 250e3
    assert in_parallel_ohm([]) == inf


def test_quality_of_a_loaded_circuit():
    """R·sqrt(C/L), the textbook's parallel circuit; at resonance |H| equals it when the winding has no resistance."""
    assert loaded_q(4.0, 1e-9, [200e3]) == pytest.approx(200e3 * sqrt(1e-9 / 4))
    assert loaded_q(4.0, 1e-9, []) == inf


def test_quality_is_the_height_of_the_transfer_at_resonance():
    """The divider of coil and load computed with complex impedances."""
    inductance_h, capacitance_f, load_ohm, winding_ohm = 4.0, 600e-12, 150e3, 9e3
    steady = load_ohm / (load_ohm + winding_ohm)
    turning = sqrt((1 + winding_ohm / load_ohm) / (inductance_h * capacitance_f))
    load = 1 / (1 / load_ohm + 1j * turning * capacitance_f)
    height = abs(load / (load + winding_ohm + 1j * turning * inductance_h))
    assert loaded_q(inductance_h, capacitance_f, [load_ohm], winding_ohm) == pytest.approx(height / steady, rel=1e-12)
    assert turning / 2 / pi == pytest.approx(resonance_hz(inductance_h, capacitance_f), rel=0.05)
