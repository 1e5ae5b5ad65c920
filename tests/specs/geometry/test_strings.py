"""Where the strings run, against a printed fret table and the trade's table of fan angles."""

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specs.geometry.strings import layout, places
from specs.parsing import parse
from tests.specs.documents import FOUR_STRING, SIX_STRING, derived, document

REFERENCE = Path(__file__).parents[2] / "reference"
TABLE_ROUNDING_MM = 1e-6
DEGREE_ROUNDING = 0.6
"""Whole degrees, from an offset that takes the scales' difference for that of their runs."""

bounded = settings(derandomize=True, database=None, deadline=None, max_examples=80)


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


@pytest.mark.parametrize("scale", ["34 in", "863.6 mm", "37 in", "650 mm"])
def test_frets_of_an_outer_string(scale):
    """Equal temperament computed with 50 digits, six decimals."""
    printed = [float(row["from_nut_mm"]) for row in rows("fret_positions.csv") if row["scale"] == scale]
    frets = derived({"scale.treble": scale, "scale.bass": scale}).frets
    assert [fret.from_nut_mm[-1] for fret in frets] == pytest.approx(printed, abs=TABLE_ROUNDING_MM)


def test_inches_and_millimetres_are_the_same_instrument():
    assert derived({"scale.treble": "34 in"}).frets == derived({"scale.treble": "863.6 mm"}).frets


SETS = {"4": FOUR_STRING, "5": {}, "6": SIX_STRING}
SPREADS = {"4": (29, 57), "5": (38, 72), "6": (45, 90)}


@pytest.mark.parametrize("row", rows("fan_angles.csv"), ids=lambda row: "-".join(list(row.values())[:3]))
def test_fan_angles(row):
    """Angles by scale pair, string count and perpendicular fret (common practice, no source)."""
    nut, bridge = SPREADS[row["strings"]]
    instrument = derived(
        SETS[row["strings"]]
        | {
            "scale.bass": f"{34 + int(row['difference_in'])} in",
            "scale.treble": "34 in",
            "scale.perpendicular_fret": int(row["perpendicular_fret"]),
            "nut.spread": nut,
            "bridge.spread": bridge,
        }
    )
    angles = instrument.nut_angle_deg, -instrument.frets[24].angle_deg, -instrument.bridge_angle_deg
    table = [float(row[key]) for key in ("nut_deg", "last_fret_24_deg", "bridge_deg")]
    assert angles == pytest.approx(table, abs=DEGREE_ROUNDING)


def test_equal_centres():
    assert places((5, 1, 1), 40, "equal-centres") == (-0.5, 0, 0.5)


def test_equal_gaps_leave_the_same_air_everywhere():
    gauges = (3.3, 2.54, 2.0, 1.65, 1.1)
    centres = [39 * place for place in places(gauges, 39, "equal-gaps")]
    lows = [centre - gauge / 2 for centre, gauge in zip(centres, gauges, strict=True)]
    highs = [centre + gauge / 2 for centre, gauge in zip(centres, gauges, strict=True)]
    air = [low - high for low, high in zip(lows[1:], highs, strict=False)]
    assert air == pytest.approx([(39 - (3.3 / 2 + 2.54 + 2.0 + 1.65 + 1.1 / 2)) / 4] * 4, rel=1e-12)
    assert (centres[0], centres[-1]) == (-19.5, 19.5)


def test_equal_gaps_need_air():
    with pytest.raises(ValueError, match=r"more than 12\.00 mm"):
        places((4, 4, 4, 4), 12, "equal-gaps")


def plan_of(**changes):
    return layout(parse(document({path.replace("__", "."): value for path, value in changes.items()})))


def test_ends_lie_on_straight_nut_and_bridge_lines():
    plan = plan_of()
    for line, point in ((plan.line(0), plan.nut_point), (plan.bridge_line, plan.bridge_point)):
        assert [point(string) for string in range(5)] == [line.at(point(string)[1]) for string in range(5)]
    assert plan.line(0).centre_mm == 0


@bounded
@given(st.floats(0, 24), st.floats(800, 1000), st.floats(700, 900))
def test_perpendicular_fret_is_square_whole_or_not(fret, bass_mm, treble_mm):
    plan = plan_of(scale__bass=bass_mm, scale__treble=treble_mm, scale__perpendicular_fret=fret)
    assert plan.line(fret).slope == 0
    assert plan.scale_mm(0) == pytest.approx(bass_mm, rel=1e-14)
    assert plan.scale_mm(4) == pytest.approx(treble_mm, rel=1e-14)


@bounded
@given(st.floats(0, 24), st.floats(30, 60), st.floats(40, 95))
def test_proportional_spacing_has_no_intonation_error(perpendicular, nut_mm, bridge_mm):
    instrument = derived(
        {
            "scale.perpendicular_fret": perpendicular,
            "nut.spread": nut_mm,
            "nut.spacing": "equal-centres",
            "bridge.spread": bridge_mm,
        }
    )
    assert {cents for fret in instrument.frets for cents in fret.error_cents} == {0.0}


def test_equal_gaps_against_equal_centres_cost_one_to_three_cents():
    """Common practice, no source: one to three cents on an ordinary fan."""
    worst = derived().board.worst_error
    assert 1 < abs(worst.cents) < 3
    assert (worst.fret, worst.string) == (24, 3)
