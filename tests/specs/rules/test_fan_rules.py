"""Rules of the fan against angles worked from right triangles here; thresholds: common practice, no source."""

from math import atan, degrees, hypot, radians, sqrt, tan

import pytest

from tests.specs.documents import FOUR_STRING, SIX_STRING
from tests.specs.rules.pairs import Pair, assert_pair, names

INCH = 25.4


def angles(bass, treble, fret, nut=39.0, bridge=72.0):
    """Nut and bridge angle in degrees: the difference of the two runs, split at the square fret."""
    splay = (bridge - nut) / 2
    difference = sqrt(bass**2 - splay**2) - sqrt(treble**2 - splay**2)
    ahead = difference * (1 - 2 ** (-fret / 12))
    return degrees(atan(ahead / nut)), degrees(atan((difference - ahead) / bridge))


def pair_of(bass, treble, fret):
    return {"scale.bass": f"{bass} in", "scale.treble": f"{treble} in", "scale.perpendicular_fret": fret}


TOO_STEEP = angles(37 * INCH, 33 * INCH, 7)[1]
STEEP = angles(36.5 * INCH, 33 * INCH, 6)[1]
NUT_44 = angles(37 * INCH, 34 * INCH, 12)[0]
NUT_36 = angles(37 * INCH, 34 * INCH, 8)[0]
WIDE_SIX = {**SIX_STRING, "scale.treble": "34 in"}
PLATE = {"bridge.kind": "one-piece plate"}
STEEP_FRETS = {"scale.perpendicular_fret": 5}
BOUND = {"fingerboard.binding": "wood", "neck.truss_rod": 600}


def nut_slot():
    """Length in mm of the 39 mm nut with its 3 mm margins along the slant, where it meets the splayed edges."""
    slope = tan(radians(angles(37 * INCH, 34 * INCH, 7)[0]))
    rise = 0.75 * (72 - 39) / 2 + 4 - 3
    bass, treble = (rise / (0.75 * sqrt((inches * INCH) ** 2 - 16.5**2)) for inches in (37, 34))
    return (39 + 3 / (1 + bass * slope) + 3 / (1 - treble * slope)) * hypot(1, slope)


def steepest_fret(bass, treble, square, at_fret, nut=39.0, bridge=72.0):
    """Angle in degrees of one fret's line by the same triangles, without sign."""
    splay = (bridge - nut) / 2
    difference = sqrt(bass**2 - splay**2) - sqrt(treble**2 - splay**2)
    lead = difference * abs(2 ** (-square / 12) - 2 ** (-at_fret / 12))
    return degrees(atan(lead / (bridge - (bridge - nut) * 2 ** (-at_fret / 12))))


FRET_24 = steepest_fret(37 * INCH, 34 * INCH, 5, 24)
FRET_1_AT_7 = steepest_fret(37 * INCH, 34 * INCH, 7, 1)

PAIRS = (
    Pair("bass-shorter-than-treble", "error", pair_of(34, 35, 7), 863.6, pair_of(34, 34, 7)),
    Pair("equal-scales", "warning", pair_of(34, 34, 7), 863.6, {**pair_of(34, 34, 7), "scale.bass": 863.62}),
    Pair("fan-too-steep", "error", pair_of(37, 33, 7), TOO_STEEP, pair_of(37, 33.5, 7)),
    Pair("fan-steep", "warning", pair_of(36.5, 33, 6), STEEP, pair_of(37, 34, 7)),
    Pair("perpendicular-fret-outside", "warning", pair_of(35, 34.5, 0), 0, pair_of(35, 34.5, 5)),
    Pair("nut-too-steep", "error", pair_of(37, 34, 12), NUT_44, pair_of(37, 34, 8)),
    Pair("nut-steep", "note", pair_of(37, 34, 8), NUT_36, pair_of(37, 34, 7)),
    Pair("nut-longer-on-the-slant", "note", {}, nut_slot(), pair_of(34, 34, 7)),
    Pair("bridge-needs-single-units", "error", {**PLATE, **pair_of(34.5, 34, 7)},
         angles(34.5 * INCH, 34 * INCH, 7)[1], {**PLATE, **pair_of(34.25, 34, 7)}),
    Pair("low-tuning-needs-length", "warning", pair_of(33.9, 33, 7), 33.9 * INCH, pair_of(34, 33, 7)),
    Pair("high-c-wants-short-scale", "warning", {**SIX_STRING, "scale.treble": "34.1 in"}, 34.1 * INCH, WIDE_SIX),
    Pair("single-strings-for-wide-pair", "note", {}, 76.2, pair_of(36.9, 34, 7)),
    Pair("acute-fret-ends", "note", STEEP_FRETS, FRET_24, {**STEEP_FRETS, "fingerboard.frets_kind": "lined fretless"}),
    Pair("stainless-on-extreme-fan", "warning", {**STEEP_FRETS, "fingerboard.wire_metal": "stainless"}, FRET_24,
         {"scale.perpendicular_fret": 7, "fingerboard.wire_metal": "stainless"}),
    Pair("bound-slanted-frets", "warning", BOUND, FRET_1_AT_7, {**BOUND, **pair_of(36, 34, 7)}),
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=names(PAIRS))
def test_fires_and_does_not(pair):
    assert_pair(pair)


def test_a_low_string_below_b_wants_36_inches():
    low = {**FOUR_STRING, "strings.tuning": ["A0", "D1", "G1", "C2"], "strings.gauges": ["0.145 in", ".105 in",
           ".08 in", ".06 in"]}  # fmt: skip
    assert_pair(Pair("low-tuning-needs-length", "warning", {**low, "scale.bass": 914.38}, 914.38, low))
