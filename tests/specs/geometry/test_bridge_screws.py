"""Screws of the bridge units: in line with their string, as far behind as measured, mirrored for the left hand."""

from math import hypot

import pytest
from shapely import LineString, Point

from specs.geometry.bridge_screws import unit_screws
from tests.specs.documents import derived

MEASURED = {"bridge.front_screw": "6 mm", "bridge.rear_screw": "24 mm"}
TOLERANCE_MM = 1e-9


def test_nothing_is_drilled_before_the_unit_is_measured():
    assert unit_screws(derived()) == ()


def test_screws_stand_in_line_with_their_string():
    made = derived(MEASURED)
    screws = unit_screws(made)
    assert [screw.string for screw in screws] == [5, 5, 4, 4, 3, 3, 2, 2, 1, 1]
    for screw, place_mm in zip(screws, (6, 24) * 5, strict=True):
        string = made.strings[5 - screw.string]
        assert hypot(screw.centre[0] - string.bridge[0], screw.centre[1] - string.bridge[1]) == pytest.approx(place_mm)
        assert LineString([string.nut, screw.centre]).distance(Point(string.bridge)) < TOLERANCE_MM


def test_left_handed_screws_are_the_mirror_image():
    right, left = unit_screws(derived(MEASURED)), unit_screws(derived({**MEASURED, "hand": "left"}))
    assert [screw.centre for screw in left] == [(x, -y) for x, y in (screw.centre for screw in right)]
