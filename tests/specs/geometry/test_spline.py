"""The smooth closed curve: known points of the basis, its exact area, its smoothness."""

from math import atan2, cos, dist, pi, sin

import pytest
from shapely.geometry import Polygon

from specs.geometry.spline import ClosedCurve

ROUND = ClosedCurve(tuple((100 * cos(2 * pi * n / 12), 100 * sin(2 * pi * n / 12)) for n in range(12)))
ODD = ClosedCurve(((0, 0), (100, -10), (140, 60), (90, 120), (40, 70), (-30, 110), (-60, 20)))


def test_a_knot_is_a_sixth_four_sixths_a_sixth():
    """Uniform cubic B-spline basis at a knot: 1/6, 4/6, 1/6."""
    (x0, y0), (x1, y1), (x2, y2) = ODD.controls[:3]
    assert ODD.at(1) == pytest.approx(((x0 + 4 * x1 + x2) / 6, (y0 + 4 * y1 + y2) / 6))


def test_twelve_controls_on_a_circle_draw_a_circle():
    """At every knot the radius is 100·(4 + 2·cos 30°)/6."""
    radii = {round(dist((0, 0), point), 2) for point in ROUND.polygon(8)}
    assert max(radii) - min(radii) < 0.05
    assert dist((0, 0), ROUND.at(3)) == pytest.approx(100 * (4 + 2 * cos(pi / 6)) / 6)


def test_the_area_is_exact():
    """The limit of shapely's polygons: the error falls with the square of the step."""
    errors = [abs(Polygon(ODD.polygon(points)).area - ODD.area_mm2) for points in (16, 32, 64)]
    assert errors[0] / errors[1] == pytest.approx(4, rel=0.02)
    assert errors[1] / errors[2] == pytest.approx(4, rel=0.02)
    assert errors[2] < 1e-4 * ODD.area_mm2


def test_the_polygon_is_the_curve_at_even_steps():
    for step, point in enumerate(ODD.polygon(24)):
        assert point == pytest.approx(ODD.at(step / 24), abs=1e-9)
    assert step == 7 * 24 - 1


def test_once_round_comes_back():
    assert ODD.at(len(ODD.controls)) == pytest.approx(ODD.at(0))


@pytest.mark.parametrize("knot", range(7))
def test_it_turns_smoothly_through_every_knot(knot):
    """Direction and its rate of change agree on both sides of a knot."""
    step = 1e-4
    before, at, after = (ODD.towards(knot + 7 + shift) for shift in (-step, 0, step))
    turns = [atan2(b[1], b[0]) - atan2(a[1], a[0]) for a, b in ((before, at), (at, after))]
    assert turns[0] == pytest.approx(turns[1], rel=0.01, abs=1e-9)
