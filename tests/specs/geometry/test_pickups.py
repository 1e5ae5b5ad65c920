"""Pickup places against 40 digits and SciPy's optimiser, and what the trade knows of slanted rows."""

from dataclasses import replace
from typing import Any

import numpy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mpmath import mpf
from scipy.optimize import least_squares

from specs.document import BuildSpec, Pickup
from specs.errors import Refused
from specs.geometry.best_angle import SensedString, Sensing
from specs.geometry.pickups import PickupPlace, aligned_line, free_space_mm, pickup_places
from specs.geometry.strings import layout
from specs.parsing import parse
from tests.reference import forty_digits_sound
from tests.reference.forty_digits import matches
from tests.specs.documents import FOUR_STRING, SIX_STRING, document

bounded = settings(derandomize=True, database=None, deadline=None, max_examples=25)
EXACT_DEG = EXACT_MM = 1e-9

ALL = [{"strings": [1, 2, 3, 4, 5], "offset": "0 mm"}]
USUAL_SPLIT = [{"strings": [4, 5], "offset": "-9 mm"}, {"strings": [1, 2, 3], "offset": "9 mm"}]
REVERSED_SPLIT = [{"strings": [4, 5], "offset": "9 mm"}, {"strings": [1, 2, 3], "offset": "-9 mm"}]
PROPORTIONAL = {"nut.spacing": "equal-centres", "bridge.spacing": "equal-centres"}


def pickup(rows: list[dict[str, Any]], fraction: float, angle: float | str) -> dict[str, Any]:
    return {"name": "one", "rows": rows, "fraction": fraction, "angle": angle}


def spec_of(one: dict[str, Any], changes: dict[str, Any] | None = None) -> BuildSpec:
    return parse(document({**(changes or {}), "pickups": [one]}))


def place(one: dict[str, Any], changes: dict[str, Any] | None = None) -> PickupPlace:
    spec = spec_of(one, changes)
    (found,) = pickup_places(spec, layout(spec))
    return found


def misses(spec: BuildSpec, housing: Pickup):
    """The fractions' misses as a function of centre and angle, by intersecting lines in the plane."""
    plan, count = layout(spec), spec.strings.count
    offset = {number: row.offset_mm for row in housing.rows for number in row.strings}
    ends = [(numpy.array(plan.nut_point(i)), numpy.array(plan.bridge_point(i))) for i in range(count)]

    def of(place):
        along = numpy.array([numpy.sin(place[1]), numpy.cos(place[1])])
        across = numpy.array([numpy.cos(place[1]), -numpy.sin(place[1])])
        start = numpy.array([plan.mean_run_mm - place[0], 0.0])
        return [
            numpy.linalg.solve(
                numpy.column_stack([nut - bridge, -along]), start + across * offset[count - i] - bridge
            )[0] - housing.fraction
            for i, (nut, bridge) in enumerate(ends)
        ]  # fmt: skip

    return of


def sought(spec: BuildSpec, housing: Pickup) -> tuple[float, float, float]:
    """Centre, angle in degrees and squared misses of the best of many starts of SciPy's least-squares optimiser."""
    bounds = [(-2000, -numpy.radians(80)), (2000, numpy.radians(80))]
    starts = [(100.0, numpy.radians(angle)) for angle in range(-70, 71, 20)]
    of = misses(spec, housing)
    found = [least_squares(of, start, bounds=bounds, x_scale=(100, 1), xtol=1e-12, ftol=1e-14) for start in starts]
    best = min(found, key=lambda each: each.cost)
    return best.x[0], numpy.degrees(best.x[1]), 2 * best.cost


PICKUPS = {
    "one row": pickup(ALL, 0.155, "aligned"),
    "one row square": pickup(ALL, 0.155, 0),
    "one row slanted": pickup(ALL, 0.08, -22.5),
    "one row best": pickup(ALL, 0.08, "best"),
    "moved row": pickup([{"strings": [1, 2, 3, 4, 5], "offset": "4 mm"}], 0.1, "aligned"),
    "split aligned": pickup(USUAL_SPLIT, 0.12, "aligned"),
    "split best": pickup(USUAL_SPLIT, 0.12, "best"),
    "reversed split best": pickup(REVERSED_SPLIT, 0.065, "best"),
    "alternating best": pickup([{"strings": [1, 3, 5], "offset": 3}, {"strings": [2, 4], "offset": -3}], 0.2, "best"),
}
KEYS = ("angle_deg", "centre_mm", "fractions", "error_fraction", "error_mm", "needed_span_mm")


def check(one: dict[str, Any], changes: dict[str, Any] | None = None) -> None:
    spec = spec_of(one, changes)
    housing, found = spec.pickups[0], place(one, changes)
    near = (0.0, 0.0)
    if housing.angle == "best":
        centre_mm, angle_deg, least = sought(spec, housing)
        assert sum((each - housing.fraction) ** 2 for each in found.fractions) <= least * (1 + 1e-9) + 1e-20
        near = (centre_mm, angle_deg)
    exact = forty_digits_sound.pickup(spec, housing, near)
    assert abs(mpf(found.angle_deg) - exact["angle_deg"]) <= EXACT_DEG
    assert abs(mpf(found.centre_mm) - exact["centre_mm"]) <= EXACT_MM
    assert matches({key: list_or_number(getattr(found, key)) for key in KEYS}, exact)


def list_or_number(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("one", PICKUPS.values(), ids=PICKUPS)
def test_forty_digits(one, hand):
    check(one, {"hand": hand})


@pytest.mark.parametrize(
    "changes",
    [{"scale.bass": "34 in"}, {"scale.bass": "33 in", "scale.treble": "35 in"}, {"scale.perpendicular_fret": 0},
     {"nut.spread": "60 mm", "bridge.spread": "40 mm"}, PROPORTIONAL],
    ids=["one scale", "fan the other way", "square nut", "tapering to the bridge", "proportional"],
)  # fmt: skip
def test_forty_digits_of_a_best_split_on_other_instruments(changes):
    check(pickup(REVERSED_SPLIT, 0.1, "best"), changes)


@bounded
@given(st.floats(0.04, 0.3), st.floats(-20, 20), st.floats(-20, 20), st.floats(780, 980), st.floats(0, 12))
def test_forty_digits_of_any_best_split(fraction, bass_mm, treble_mm, scale_mm, perpendicular):
    rows = [{"strings": [4, 5], "offset": bass_mm}, {"strings": [1, 2, 3], "offset": treble_mm}]
    check(pickup(rows, fraction, "best"), {"scale.bass": scale_mm, "scale.perpendicular_fret": perpendicular})


def test_aligned_row_lies_on_equal_fractions_when_spacing_is_proportional():
    found = place(pickup(ALL, 0.155, "aligned"), PROPORTIONAL)
    assert found.fractions == pytest.approx((0.155,) * 5, abs=1e-15)
    assert found.error_mm == pytest.approx(0, abs=1e-11)


@pytest.mark.parametrize("fret", [5, 12, 24, 30])
def test_aligned_line_is_that_of_the_virtual_fret(fret):
    plan = layout(parse(document()))
    line = aligned_line(plan, 2 ** (-fret / 12))
    assert (line.centre_mm, line.slope) == pytest.approx((plan.line(fret).centre_mm, plan.line(fret).slope), rel=1e-12)


def test_best_angle_of_a_reversed_split_is_smaller_than_the_aligned_one():
    """Common practice, no source: the offset of the bass row toward the bridge does part of the fan's work."""
    for fraction in (0.065, 0.1, 0.15):
        aligned = place(pickup(ALL, fraction, "aligned")).angle_deg
        nearer = place(pickup(REVERSED_SPLIT, fraction, "best")).angle_deg
        farther = place(pickup(USUAL_SPLIT, fraction, "best")).angle_deg
        assert abs(nearer) < abs(aligned) < abs(farther)


def test_best_is_never_worse_than_aligned():
    for rows in (ALL, USUAL_SPLIT, REVERSED_SPLIT):
        best, aligned = (
            sum((each - 0.1) ** 2 for each in place(pickup(rows, 0.1, angle)).fractions)
            for angle in ("best", "aligned")
        )
        assert best <= aligned


COVERAGE = {
    "4 strings, 2 in": ({**FOUR_STRING, "scale.bass": "36 in", "bridge.spread": 57}, [1, 2, 3, 4], (68, 63)),
    "5 strings, 2 in": ({"scale.bass": "36 in"}, [1, 2, 3, 4, 5], (81, 76)),
    "5 strings, 3 in": ({}, [1, 2, 3, 4, 5], (89, 82)),
    "6 strings, 3 in": ({**SIX_STRING, "scale.treble": "34 in"}, [1, 2, 3, 4, 5, 6], (104, 97)),
}
COVERAGE_ROUNDING_MM = 2.5
"""The table names neither the places nor the spreads it was computed for."""


@pytest.mark.parametrize(("changes", "strings", "table_mm"), COVERAGE.values(), ids=COVERAGE)
def test_coverage(changes, strings, table_mm):
    """Coverage by scale pair at a bridge and a neck pickup (common practice, no source)."""
    spans = [
        place(pickup([{"strings": strings, "offset": 0}], fraction, "aligned"), changes).needed_span_mm
        for fraction in (0.05, 0.155)
    ]
    assert spans == pytest.approx(table_mm, abs=COVERAGE_ROUNDING_MM)


def test_a_left_handed_pickup_is_drawn_on_the_other_side_and_else_the_same():
    right, left = (place(PICKUPS["reversed split best"], {"hand": hand}) for hand in ("right", "left"))
    for one, other in zip(right.rows, left.rows, strict=True):
        assert other.sensed == tuple((x, -y) for x, y in one.sensed)
        assert other.line == tuple((x, -y) for x, y in one.line)
    assert right.rows[0].sensed[0][1] < 0 < left.rows[0].sensed[0][1]
    assert replace(left, rows=()) == replace(right, rows=())


def test_rows_name_their_strings_bass_first_and_are_judged_by_themselves():
    found = place(PICKUPS["reversed split best"])
    assert [row.strings for row in found.rows] == [(5, 4), (3, 2, 1)]
    assert found.rows[0].error_fraction == abs(found.fractions[1] - found.fractions[0])
    assert all(row.error_mm < found.error_mm for row in found.rows)


def test_a_row_may_miss_the_strings():
    assert place(pickup([{"strings": [1, 2, 3, 4, 5], "offset": 60}], 0.02, "aligned")).off_string is False
    rows = [{"strings": [5], "offset": 60}, {"strings": [1, 2, 3, 4], "offset": 0}]
    assert place(pickup(rows, 0.02, "aligned")).off_string


def test_an_angle_along_a_string_is_refused():
    with pytest.raises(Refused) as refused:
        place(pickup(ALL, 0.1, 80), {"scale.bass": 400, "scale.treble": 400, "nut.spread": 10, "bridge.spread": 150})
    assert [problem.field for problem in refused.value.problems] == ["pickups.0.angle"]


def test_no_best_angle_where_the_misses_fall_to_the_end_of_the_range():
    steep = [SensedString(y_mm, 1000.0, 0.0, 0.0) for y_mm in (-1.0, 0.0, 1.0)]
    assert Sensing(100.0, tuple(steep), 0.1).best_slope() is None


def test_room_between_board_and_bridge_is_the_shorter_on_the_treble_side():
    """Common practice, no source: fret 24 leaves a quarter of the scale, 235 mm of 37 in and 216 mm of 34 in."""
    spec = parse(document())
    bass_mm, treble_mm = free_space_mm(spec, layout(spec))
    assert (bass_mm, treble_mm) == pytest.approx((235 - 8, 216 - 8), abs=0.5)
