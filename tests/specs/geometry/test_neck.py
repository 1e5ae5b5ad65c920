"""The neck's sizes: against trade figures, plane geometry, and a geometry library."""

from math import cos, dist, hypot, radians

import pytest
from shapely.geometry import LineString, Polygon

from specs.geometry.crown import crown_drop_mm
from specs.geometry.neck import board_blank, crowns, finished_board, nut_seat, nut_size, rod_window, slot_depths
from tests.specs.documents import SIX_STRING, derived

SAME_MM = 1e-9


def test_the_slanted_nut_is_longer_than_the_neck_is_wide():
    """Common practice, no source: 45 mm square is 54 mm along at 34 degrees; here 33 degrees."""
    nut = nut_size(derived())
    assert (nut.angle_deg, nut.leaning) == (pytest.approx(33, abs=0.1), "toward the bridge")
    assert nut.square_width_mm == pytest.approx(45, abs=0.05)
    assert nut.slanted_length_mm == pytest.approx(nut.square_width_mm / cos(radians(nut.angle_deg)), abs=0.05)


def test_both_hands_need_the_same_nut_crowns_and_slots():
    right, left = derived(), derived({"hand": "left"})
    assert nut_size(left) == nut_size(right)
    assert crowns(left) == crowns(right)
    assert slot_depths(left) == slot_depths(right)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_nuts_seat_is_six_millimetres_thick_and_lies_on_the_boards_end(hand):
    """Common practice, no source: 6 mm square to the nut's face. Measured by shapely."""
    instrument = derived({"hand": hand})
    face_bass, face_treble, back_treble, back_bass = nut_seat(instrument)
    board = Polygon(finished_board(instrument))
    face, back = LineString([face_bass, face_treble]), LineString([back_bass, back_treble])
    assert face.distance(board.exterior) < SAME_MM
    assert back.distance(Polygon(finished_board(instrument))) == pytest.approx(6, abs=0.05)
    slope = (face_treble[0] - face_bass[0]) / (face_treble[1] - face_bass[1])
    apart_mm = face_bass[0] - back_bass[0] - slope * (face_bass[1] - back_bass[1])
    assert apart_mm / hypot(1, slope) == pytest.approx(6, abs=SAME_MM)


@pytest.mark.parametrize("changes", [{}, SIX_STRING, {"hand": "left"}, {"scale.perpendicular_fret": 0}])
def test_the_blank_holds_the_board_with_its_waste(changes):
    instrument = derived(changes)
    blank, board = board_blank(instrument), Polygon(finished_board(instrument))
    assert Polygon(blank.corners).contains(board)
    assert Polygon(blank.corners).area == pytest.approx(blank.length_mm * blank.width_mm)
    assert min(board.bounds[0] - blank.start_mm, blank.end_mm - board.bounds[2]) >= 10


def test_a_blank_narrower_than_its_board_is_still_long_enough():
    instrument = derived({"fingerboard.blank_width": 20})
    blank, board = board_blank(instrument), finished_board(instrument)
    assert blank.start_mm == min(x for x, _ in board) - 10


def test_crown_heights_are_the_circles_and_the_slanted_slot_is_flatter():
    """Plane geometry: at the square fret the drop along the slot is the crown's height."""
    found = crowns(derived())
    assert found[7].slot_drop_mm == pytest.approx(found[7].height_mm, rel=1e-9)
    assert found[24].height_mm == pytest.approx(crown_drop_mm(18 * 25.4, found[24].width_mm), rel=1e-12)
    assert found[0].height_mm == pytest.approx(crown_drop_mm(14 * 25.4, found[0].width_mm), rel=1e-12)
    assert all(crown.bend_radius_mm > 14 * 25.4 for crown in found[1:])


def test_a_flat_board_has_no_crown():
    found = crowns(derived({"fingerboard.radius_nut": None, "fingerboard.radius_end": None}))
    assert {(crown.height_mm, crown.slot_drop_mm, crown.bend_radius_mm) for crown in found} == {(0, 0, None)}


def test_slot_depths_in_both_modes():
    """Common practice: tang 1.5 + 0.4 along the crown; before the radius 0.3 still to come off and the crown's drop."""
    depths, found = slot_depths(derived()), crowns(derived())[1:]
    assert [depth.fret for depth in depths] == list(range(1, 25))
    for depth, crown in zip(depths, found, strict=True):
        assert depth.after_radius.depth_mm == pytest.approx(1.9)
        assert depth.before_radius.depth_mm == pytest.approx(1.9 + 0.3 + crown.slot_drop_mm)
        left_mm = 6.5 - 1.9 - crown.slot_drop_mm
        assert depth.after_radius.wood_left_mm == pytest.approx(left_mm)
        assert depth.before_radius.wood_left_mm == pytest.approx(left_mm)


def test_little_wood_under_a_slot_is_told():
    assert not any(depth.thin for depth in slot_depths(derived()))
    assert all(depth.thin for depth in slot_depths(derived({"fingerboard.thickness": 4.4})))


def test_the_rod_reaches_fret_15_and_stops_before_the_heel():
    """Common practice, no source: 610 to 660 mm suits 36-37 in."""
    for rod_mm in (610, 660):
        window = rod_window(derived({"neck.truss_rod": rod_mm}))
        assert (window.reaches, window.clears_heel) == (True, True)
    assert not rod_window(derived({"neck.truss_rod": 500})).reaches
    assert not rod_window(derived({"neck.truss_rod": 690})).clears_heel
    assert rod_window(derived({"neck.truss_rod": 690, "neck.construction": "neck-through"})).clears_heel


def test_the_channel_keeps_three_millimetres_to_the_slanted_nut():
    """Measured by shapely from the channel's end to the nut's face."""
    instrument = derived()
    start = rod_window(instrument).start_mm
    channel = LineString([(start, -6.35 / 2), (start, 6.35 / 2)])
    nut = instrument.frets[0]
    assert channel.distance(LineString([nut.bass_edge, nut.treble_edge])) == pytest.approx(3, abs=SAME_MM)
    assert rod_window(derived({"neck.adjuster": "headstock"})).start_mm == 0


def test_pins_keep_their_distance_from_the_board():
    blank, board = board_blank(derived()), Polygon(finished_board(derived()))
    assert all(board.distance(LineString([(x, -1.5), (x, 1.5)])) > 3 for x in blank.waste_middles_mm)
    assert dist(*((x, 0.0) for x in blank.waste_middles_mm)) < blank.length_mm
