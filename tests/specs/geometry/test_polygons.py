"""Areas, centres and gaps of polygons against shapely."""

from math import dist

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from specs.geometry.polygons import area_mm2, centre, gap_mm, part_past, past_mm, perimeter_mm, to_segment_mm

HOOK = [(0.0, 0.0), (90.0, 5.0), (95.0, 60.0), (40.0, 35.0), (20.0, 80.0), (-10.0, 30.0)]
FAR = [(120.0, 0.0), (180.0, 10.0), (150.0, 70.0)]
places = st.tuples(st.floats(-100, 150), st.floats(-100, 150))


def test_area_centre_and_length_round():
    shape = Polygon(HOOK)
    assert area_mm2(HOOK) == pytest.approx(shape.area)
    assert area_mm2(HOOK[::-1]) == pytest.approx(-shape.area)
    assert centre(HOOK) == pytest.approx((shape.centroid.x, shape.centroid.y))
    assert centre(HOOK[::-1]) == pytest.approx(centre(HOOK))
    assert perimeter_mm(HOOK) == pytest.approx(shape.length)


@settings(max_examples=50, deadline=None)
@given(st.floats(-120, 120))
def test_the_part_past_a_line_is_what_shapely_cuts_off(x):
    right = part_past(HOOK, ((x, 0.0), (x, 1.0)))
    cut = Polygon(HOOK).intersection(box(x, -500, 500, 500))
    assert (area_mm2(right) if right else 0.0) == pytest.approx(cut.area, abs=1e-6)
    if cut.area > 1:
        assert centre(right) == pytest.approx((cut.centroid.x, cut.centroid.y), abs=1e-6)


def test_the_right_of_a_line_is_past_it():
    along_x = ((0.0, 0.0), (10.0, 0.0))
    assert (past_mm(along_x, (5, -3)), past_mm(along_x, (5, 3))) == (3, -3)


@settings(max_examples=50, deadline=None)
@given(places, places, places)
def test_distance_from_a_stretch(point, start, end):
    if dist(start, end) > 1e-3:
        line = shapely.LineString([start, end])
        assert to_segment_mm(point, start, end) == pytest.approx(shapely.Point(point).distance(line), abs=1e-6)


def test_a_stretch_may_be_a_point():
    assert to_segment_mm((3, 4), (0, 0), (0, 0)) == 5


def test_the_gap_between_two():
    assert gap_mm(HOOK, FAR) == gap_mm(FAR, HOOK) == pytest.approx(Polygon(HOOK).distance(Polygon(FAR)))
    assert gap_mm([(200.0, 0.0)], HOOK) == pytest.approx(dist((200, 0), (90, 5)), abs=1)
