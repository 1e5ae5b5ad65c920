"""Equilibrium moisture against every given cell of the handbook's table, and when a plank may be cut."""

import csv
from datetime import date
from pathlib import Path

import pytest

from specs.errors import Refused
from specs.wood.moisture import Acclimation, Reading, acclimation, emc_figure, emc_pct

TABLE = Path(__file__).parents[2] / "reference" / "emc_table_4_2.csv"
TABLE_ROUNDING_PCT = 0.06
"""One decimal, and the table's own slack against the equation in degrees Celsius."""

with TABLE.open(encoding="utf-8") as lines:
    CELLS = [(float(row["temp_f"]), float(row["rh_pct"]), float(row["emc_pct"])) for row in csv.DictReader(lines)]


def test_every_given_cell_of_the_handbook():
    """USDA FPL, Wood Handbook FPL-GTR-190 (2010), Table 4-2."""
    computed = [emc_pct((fahrenheit - 32) / 1.8, rh_pct) for fahrenheit, rh_pct, _ in CELLS]
    assert len(CELLS) == 127
    assert computed == pytest.approx([printed for _, _, printed in CELLS], abs=TABLE_ROUNDING_PCT)


def fahrenheit_form(t: float, rh_pct: float) -> float:
    """Eq 4-5 with the handbook's other set of coefficients."""
    h, w = rh_pct / 100, 330 + 0.452 * t + 0.00415 * t**2
    k = 0.791 + 0.000463 * t - 0.000000844 * t**2
    k1, k2 = 6.34 + 0.000775 * t - 0.0000935 * t**2, 1.09 + 0.0284 * t - 0.0000904 * t**2
    top, bottom = k1 * k * h + 2 * k1 * k2 * (k * h) ** 2, 1 + k1 * k * h + k1 * k2 * (k * h) ** 2
    return 1800 / w * (k * h / (1 - k * h) + top / bottom)


@pytest.mark.parametrize("celsius", [5, 15, 21, 30, 45])
@pytest.mark.parametrize("rh_pct", [10, 42, 70, 95])
def test_the_handbook_in_degrees_fahrenheit(celsius, rh_pct):
    assert emc_pct(celsius, rh_pct) == pytest.approx(fahrenheit_form(celsius * 1.8 + 32, rh_pct), abs=0.1)


def test_dry_air_dries_wood_out():
    assert emc_pct(20, 0) == 0


def test_figure():
    assert emc_figure({"celsius": 21.1, "rh_pct": 50}) == {"emc_pct": emc_pct(21.1, 50)}
    with pytest.raises(Refused) as refused:
        emc_figure({"celsius": "21", "rh_pct": 101, "humidity": 50})
    assert [problem.field for problem in refused.value.problems] == ["humidity", "celsius", "rh_pct"]


def april(day: int, pct: float) -> Reading:
    return Reading(date(2026, 4, day), pct)


ROOM_PCT = 7.7
"""21 °C and 40 % (handbook table)."""


def test_a_steady_plank_at_the_room_s_moisture_may_leave():
    assert acclimation([april(1, 9.5), april(8, 8.2), april(15, 7.7)], ROOM_PCT, [8.7]) == Acclimation(rested=True)


def test_readings_in_any_order():
    assert acclimation([april(15, 7.7), april(1, 9.5), april(8, 8.2)], ROOM_PCT).rested


RESTING = {
    "one reading": ([april(8, 7.7)], (), "two readings"),
    "too soon": ([april(2, 7.7), april(8, 7.7)], (), "6 days apart"),
    "moving": ([april(1, 8.3), april(8, 7.7)], (), "still moving: 8.3 % to 7.7 %"),
    "far from the room": ([april(1, 6.6), april(8, 6.6)], (), "over 1.0 % from the 7.7 %"),
    "too wet whatever the room": ([april(1, 8.6), april(8, 8.6)], (), "outside 6.5-8.5 %"),
    "unlike its partner": ([april(1, 7.7), april(8, 7.7)], (7.9, 8.8), "a glue partner reads 8.8 %"),
}


@pytest.mark.parametrize(("readings", "partners", "reason"), RESTING.values(), ids=RESTING)
def test_a_resting_plank_says_why_and_when_to_look_again(readings, partners, reason):
    found = acclimation(readings, ROOM_PCT, partners)
    assert not found.rested
    assert len(found.reasons) == 1
    assert reason in found.reasons[0]
    assert found.next_check == date(2026, 4, 15)


def test_limits_themselves_are_within():
    assert acclimation([april(1, 7.0), april(8, 6.5)], 7.5, [7.5]).rested


def test_a_plank_never_read_has_no_reading_made_up():
    found = acclimation([], ROOM_PCT)
    assert (found.rested, found.next_check) == (False, None)
