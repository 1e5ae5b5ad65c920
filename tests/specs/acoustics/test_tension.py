"""Tension against a maker's chart, by its own customary formula, and what evenness means."""

import csv
from pathlib import Path

import pytest

from specs.acoustics.pitch import frequency_hz
from specs.acoustics.tension import evenness_pct, pull, tension_n
from specs.derived import Tension
from specs.tables import load_tables

CHART = Path(__file__).parents[2] / "reference" / "string_tensions.csv"
CHART_SCALE_MM = 863.6  # 34 in
CHART_TOLERANCE = 0.003
"""The chart rounds pitch to 0.1 Hz, tension to 0.1 lb and gravity to 386.4 in/s²."""
NEWTONS_PER_POUND = 4.4482216152605

with CHART.open(encoding="utf-8") as lines:
    CHART_ROWS = [
        (float(row["gauge_in"]), row["pitch"], float(row["tension_lb_at_34_in"])) for row in csv.DictReader(lines)
    ]


@pytest.mark.parametrize(("gauge_in", "pitch", "printed_lb"), CHART_ROWS)
def test_printed_chart(gauge_in, pitch, printed_lb):
    """J. D'Addario & Co., tension chart 13934, nickel-plated round at 34 in; the figures are from memory."""
    weight = load_tables().strings.unit_weight(gauge_in * 25.4, "nickel-plated round")
    pounds = tension_n(weight.kg_m, CHART_SCALE_MM, frequency_hz(pitch)) / NEWTONS_PER_POUND
    assert pounds == pytest.approx(printed_lb, rel=CHART_TOLERANCE)


def test_customary_formula_at_standard_gravity():
    """T = UW (2 L f)² / g in pounds and inches, g = 9.80665 m/s² = 386.0886 in/s² (standard gravity)."""
    unit_weight, scale_in, frequency = 0.0003724, 34, 97.99885899543732
    pounds = unit_weight * (2 * scale_in * frequency) ** 2 / (9.80665 / 0.0254)
    si = tension_n(unit_weight * 0.45359237 / 0.0254, scale_in * 25.4, frequency)
    assert si == pytest.approx(pounds * NEWTONS_PER_POUND, rel=1e-12)


def test_evenness_is_the_range_over_the_mean():
    assert evenness_pct([90.0, 100.0, 110.0]) == pytest.approx(20.0)
    assert evenness_pct([150.0, 150.0]) == 0


def test_pull_of_a_set():
    assert pull([90.0, 100.0, 110.0]) == Tension(300.0, 100.0, pytest.approx(20.0))
