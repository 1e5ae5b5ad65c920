"""The crown against plane geometry in figures worked elsewhere, and what a linear radius costs."""

import pytest

from specs.geometry.crown import (
    TANG_MM,
    Crown,
    SlotDepth,
    crown_drop_mm,
    slot_depth_after_radius,
    slot_depth_before_radius,
)
from specs.vocabulary import WIRE_SIZES
from tests.specs.documents import derived

WORKED = [
    (12, 2, 0.04173926),
    (16, 2.5, 0.04890286),
    (304.8, 45, 0.83159704),
    (406.4, 60, 1.10879605),
    (508, 75, 1.38599506),
]
WORKED_ROUNDING = 1e-7


@pytest.mark.parametrize(("radius", "width", "drop"), WORKED)
def test_drop_of_a_circle(radius, width, drop):
    """Sagittas worked from s = r − √(r² − (w/2)²)."""
    assert crown_drop_mm(radius, width) == pytest.approx(drop, abs=WORKED_ROUNDING)


def test_a_flat_face_drops_nowhere():
    assert crown_drop_mm(None, 70) == 0


def test_a_width_past_the_circle_drops_by_the_radius():
    assert crown_drop_mm(100, 200) == crown_drop_mm(100, 260) == 100


def test_radius_is_linear_along_the_board():
    """Worked: 304.8 mm to 508 mm over 600 mm is 406.4 mm half-way."""
    assert Crown(304.8, 508, 600).radius_mm(300) == pytest.approx(406.4, rel=1e-15)


def test_radius_is_never_carried_below_the_least():
    assert Crown(2000, 100, 600).radius_mm(700) == 100


def test_between_flat_and_round_the_curvature_is_linear():
    toward_round, toward_flat = Crown(None, 400, 600), Crown(400, None, 600)
    assert [toward_round.radius_mm(x) for x in (-1, 0, 300, 600)] == [None, None, 800, 400]
    assert [toward_flat.radius_mm(x) for x in (0, 300, 600, 601)] == [400, 800, None, None]
    assert Crown(None, None, 600).radius_mm(300) is None


def test_bend_radius_is_flatter_along_a_slanted_fret():
    """r/cos²θ: at 45° twice the radius."""
    assert Crown(300, 300, 600).bend_radius_mm(100, 1.0) == pytest.approx(600)
    assert Crown(None, None, 600).bend_radius_mm(100, 1.0) is None


ONE_SCALE = {"scale.bass": 864, "scale.treble": 864, "nut.spread": 40, "bridge.spread": 80, "fingerboard.frets": 12}


def hump_mm(nut, end, **changes):
    return derived(ONE_SCALE | {"fingerboard.radius_nut": nut, "fingerboard.radius_end": end} | changes).board.hump_mm


def test_a_true_cone_has_no_hump():
    """Spread at fret 12 is the mean, 60 mm: radii as 40 to 60."""
    assert hump_mm(300, 450) == pytest.approx(0, abs=1e-9)


def test_a_flat_board_has_no_hump():
    assert hump_mm(None, None) == 0


def test_a_cylinder_is_hollow_in_the_way_or_humped_as_the_sagitta_says():
    """Half-way the string is 25 mm out, its ends 20 and 30: the face falls less there than its chord."""
    at = [crown_drop_mm(300, width) for width in (40, 50, 60)]
    assert hump_mm(300, 300) == pytest.approx((at[0] + at[2]) / 2 - at[1], rel=1e-2)


def test_a_board_rounder_toward_the_end_can_only_sink():
    assert hump_mm(2000, 100) >= 0
    assert hump_mm(100, 2000) >= 0


def test_slot_depth_before_and_after_the_radius():
    """Common practice: tang + 0.4 mm, and before the radius the wood still to come off and the crown's drop."""
    assert slot_depth_before_radius(1.5, 1.7, 6.5, 0.3) == SlotDepth(pytest.approx(3.9), pytest.approx(2.9))
    assert slot_depth_after_radius(1.5, 1.7, 6.5) == SlotDepth(pytest.approx(1.9), pytest.approx(2.9))


def test_every_wire_size_has_a_tang():
    assert set(TANG_MM) == set(WIRE_SIZES)
