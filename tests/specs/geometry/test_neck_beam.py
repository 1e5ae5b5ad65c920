"""The neck as a beam, against the Wood Handbook's coefficients and a fine numerical integration."""

from math import pi

import pytest
from shapely import affinity
from shapely.geometry import Point, box

from specs.errors import Refused
from specs.geometry.neck_beam import (
    CASES,
    deflection_mm,
    end_moment_tip_mm,
    half_ellipse,
    neck_bow,
    rectangle,
)
from tests.specs.documents import derived

HARD_MAPLE_MPA = 12600.0
"""USDA FPL, Wood Handbook FPL-GTR-282, Table 5-3b."""

STICK = rectangle(50, 20)
WORKED = [
    ("end load, one end held", 2.539683),
    ("middle load, both ends resting", 0.158730),
    ("uniform, both ends resting", 0.099206),
    ("uniform, one end held", 0.952381),
]
WORKED_ROUNDING_MM = 1e-5


def test_a_rectangles_second_moment():
    """Worked from Wood Handbook Eq 9-3: 50 × 20³ / 12."""
    assert STICK.inertia_mm4 == pytest.approx(33333.3333, abs=1e-4)


@pytest.mark.parametrize(("case", "bends_mm"), WORKED)
def test_a_maple_stick_of_400_mm_under_50_newtons(case, bends_mm):
    """Worked from Wood Handbook FPL-GTR-190 Table 9-1 with sugar maple, 12 600 MPa."""
    assert deflection_mm(50, 400, STICK, CASES[case], HARD_MAPLE_MPA) == pytest.approx(bends_mm, abs=WORKED_ROUNDING_MM)


@pytest.mark.parametrize(("case", "shear"), [("end load, one end held", 1.0), ("uniform, both ends held", 0.125)])
def test_shear_adds_its_own_term(case, shear):
    """Wood Handbook Eq 9-2, second term: k_s·W·L/(G·A'), A' = 5·b·h/6."""
    bending = deflection_mm(50, 400, STICK, CASES[case], HARD_MAPLE_MPA)
    both = deflection_mm(50, 400, STICK, CASES[case], HARD_MAPLE_MPA, shear_mpa=1000)
    assert both - bending == pytest.approx(shear * 50 * 400 / (1000 * 5 * 50 * 20 / 6), rel=1e-9)


def test_an_end_moment_moves_the_tip():
    """Worked: 900 N of strings 8 mm above the axis; end-moment case of any mechanics text, from memory."""
    assert end_moment_tip_mm(7200, 400, STICK, HARD_MAPLE_MPA) == pytest.approx(1.371429, abs=WORKED_ROUNDING_MM)


def test_half_an_ellipse():
    """Worked from the section property, from memory; area, axis and second moment summed over slices by shapely."""
    section = half_ellipse(50, 20)
    assert section.inertia_mm4 == pytest.approx(21951.392, abs=1e-2)
    shape = affinity.scale(Point(0, 0).buffer(1, quad_segs=512), 25, 20).intersection(box(-30, -30, 30, 0))
    assert section.face_to_axis_mm == pytest.approx(-shape.centroid.y, rel=1e-4)
    assert section.shear_area_mm2 == pytest.approx(5 / 6 * shape.area, rel=1e-4)
    slices = [shape.intersection(box(-30, -y - 0.05, 30, -y)) for y in (step * 0.05 for step in range(400))]
    inertia = sum(slice.area * (slice.centroid.y - shape.centroid.y) ** 2 for slice in slices)
    assert section.inertia_mm4 == pytest.approx(inertia, rel=1e-3)


def test_the_bow_is_that_of_a_constant_curvature():
    """A circle of radius E·I/M: the free end moves L²/2R, the sagitta over the same length is L²/8R."""
    bow = neck_bow(derived(), HARD_MAPLE_MPA)
    assert bow.tip_mm == pytest.approx(4 * bow.relief_mm)
    assert bow.pull_n == derived().tension.total_n
    assert bow.free_mm == pytest.approx(derived().board.length_mm - 90)


def test_strings_bow_a_bare_neck_by_millimetres():
    """Common practice, no source: without its rod a bass neck bows some millimetres, far over the 0.2 to 0.4 wanted."""
    assert 0.5 < neck_bow(derived(), HARD_MAPLE_MPA).relief_mm < 5


def test_a_deeper_a_shorter_and_a_stiffer_neck_bow_less():
    plain = neck_bow(derived(), HARD_MAPLE_MPA).relief_mm
    assert neck_bow(derived({"neck.depth_fret_1": 23, "neck.depth_fret_12": 25}), HARD_MAPLE_MPA).relief_mm < plain
    assert neck_bow(derived({"fingerboard.frets": 20}), HARD_MAPLE_MPA).relief_mm < plain
    assert neck_bow(derived(), 2 * HARD_MAPLE_MPA).relief_mm == pytest.approx(plain / 2)


def test_a_pocket_longer_than_the_board_is_refused():
    with pytest.raises(Refused) as refusal:
        neck_bow(derived({"fingerboard.frets": 1, "scale.perpendicular_fret": 0, "neck.pocket": 150}), HARD_MAPLE_MPA)
    assert [problem.field for problem in refusal.value.problems] == ["neck.pocket"]


def test_a_whole_ellipse_is_two_halves_about_the_flat():
    """π·a·b³/4 about the middle: twice the half's own second moment and its area's lever. From memory."""
    half = half_ellipse(50, 20)
    area = half.shear_area_mm2 * 6 / 5
    assert 2 * (half.inertia_mm4 + area * half.face_to_axis_mm**2) == pytest.approx(pi * 25 * 20**3 / 4, rel=1e-12)


def test_without_a_modulus_the_pull_is_told_and_no_bow():
    bow = neck_bow(derived(), None)
    assert (bow.tip_mm, bow.relief_mm) == (None, None)
    assert bow.pull_n == neck_bow(derived(), HARD_MAPLE_MPA).pull_n
