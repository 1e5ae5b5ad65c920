"""Rules of where pickups sit, worked from triangles. Thresholds: common practice, no source."""

from math import atan, cos, degrees, radians, sqrt

import pytest

from specs.geometry.housings import housings
from specs.rules.pickups import shell_depth_mm
from specs.vocabulary import PICKUP_KINDS
from tests.specs.documents import SIX_STRING, derived
from tests.specs.rules.pairs import Pair, assert_pair, names, told

INCH = 25.4
RUNS = tuple(sqrt((inches * INCH) ** 2 - 16.5**2) for inches in (37, 34))


def pickup(fraction, **changes):
    row = [{"strings": [1, 2, 3, 4, 5]}]
    return {"name": "one", "rows": row, "fraction": fraction, "angle": "aligned", **changes}


def one(fraction, **changes):
    return {"pickups": [pickup(fraction, **changes)]}


TWO = [pickup(q, name=name) for name, q in (("neck", 0.12), ("bridge", 0.06))]


def behind_board(frets, overhang_mm=8):
    """On the 34 in treble string, from the board's end to the saddle; the end line runs on past the string's place."""
    return 34 * INCH * 2 ** (-frets / 12) - overhang_mm


def span_mm(fraction):
    """Spread at the fraction over the cosine of the fan's angle there, and 4 mm: the trade's own formula."""
    spread = 72 - fraction * 33
    lag = (RUNS[0] - RUNS[1]) * (2 ** (-7 / 12) - fraction)
    return spread / cos(atan(lag / spread)) + 4


LONG_SHELL, SHORT_SHELL = {"shell": "5-string soapbar"}, {"shell": "4-string soapbar"}
PAIRS = (
    Pair("pickup-coverage", "error", one(0.06, **SHORT_SHELL), span_mm(0.06), one(0.06, **LONG_SHELL)),
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=names(PAIRS))
def test_fires_and_does_not(pair):
    assert_pair(pair)


def test_a_finding_points_at_its_pickup():
    (finding,) = told("pickup-coverage", {"pickups": [pickup(0.15, name="neck"), pickup(0.06, **SHORT_SHELL)]})
    assert finding.field == "pickups.1.shell"


def test_36_frets_leave_no_room_for_two_pickups_and_31_do():
    (finding,) = told("no-room-for-pickups", {"fingerboard.frets": 36, "pickups": TWO})
    assert (finding.severity, finding.figure) == ("error", pytest.approx(behind_board(36), abs=0.5))
    assert told("no-room-for-pickups", {"fingerboard.frets": 30, "pickups": TWO}) == []
    assert told("no-room-for-pickups", {"fingerboard.frets": 36}) == []


def test_the_greatest_fraction_behind_24_frets_is_about_0_21():
    """Common practice, computed: 24 frets, 8 mm overhang and a 38 mm shell end at a fraction of about 0.21."""
    (finding,) = told("pickup-under-board", one(0.225))
    assert (finding.severity, finding.field, finding.figure < 3) == ("error", "pickups.0.fraction", True)
    assert told("pickup-under-board", one(0.205)) == []
    assert told("pickup-under-board", one(0.225) | {"hand": "left"})[0].figure == pytest.approx(finding.figure)


def test_a_narrow_shell_comes_nearer_the_board():
    assert told("pickup-under-board", one(0.216)) != []
    assert told("pickup-under-board", one(0.216, kind="single coil")) == []


def test_four_degrees_off_the_fan_is_about_6_7_mm_and_five_are_too_many():
    """Common practice, computed: four degrees off the fan is about 6.7 mm on a 37-34 five-string."""
    aligned = -degrees_of_fan(0.1)
    assert told("pickup-off-the-fan", one(0.1, angle=aligned + 4)) == []
    (finding,) = told("pickup-off-the-fan", one(0.1, angle=aligned + 5))
    assert (finding.severity, finding.field) == ("warning", "pickups.0.angle")
    assert finding.figure == pytest.approx(5 / 4 * 6.7, abs=0.4)


def degrees_of_fan(fraction):
    spread = 72 - fraction * 33
    return degrees(atan((RUNS[0] - RUNS[1]) * (2 ** (-7 / 12) - fraction) / spread))


def test_halves_of_a_split_pickup_are_judged_apart():
    """Two rows 30 mm apart sense fractions far apart, but each half follows the fan."""
    rows = [{"strings": [4, 5], "offset": 15}, {"strings": [1, 2, 3], "offset": -15}]
    assert told("pickup-off-the-fan", one(0.12, rows=rows, kind="split coil")) == []


def test_a_six_string_shell_just_covers_a_three_inch_fan():
    """Common practice, computed: 104 mm near the bridge of a 6-string with 3 in of fan; a shell of 114 mm senses it."""
    six = SIX_STRING | {"scale.treble": "34 in"}
    row = [{"strings": [1, 2, 3, 4, 5, 6]}]
    assert told("pickup-coverage", six | one(0.07, rows=row, shell="6-string soapbar")) == []
    assert len(told("pickup-coverage", six | one(0.07, rows=row, shell="5-string soapbar"))) == 1


@pytest.mark.parametrize("kind", PICKUP_KINDS)
def test_a_rule_takes_the_shell_that_is_drawn(kind):
    """What the room for pickups counts is, seen along the strings, the housing the drawings show."""
    made = derived(one(0.1, kind=kind))
    drawn = housings(made)[0]
    along_mm = drawn.width_mm / cos(radians(drawn.angle_deg))
    assert shell_depth_mm(made.spec.pickups[0], made.pickups[0]) == pytest.approx(along_mm, rel=1e-12)
