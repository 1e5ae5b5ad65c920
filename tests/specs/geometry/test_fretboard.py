"""The board and its frets: what a drawing made by hand would measure on them."""

from itertools import pairwise
from math import cos, hypot, radians

import pytest

from tests.specs.documents import derived

BOARD = derived()
LAST = BOARD.frets[-1]


def test_the_nut_is_fret_0_and_the_board_starts_there():
    nut = BOARD.frets[0]
    assert (nut.fret, nut.centre_mm, nut.edge_from_nut_mm) == (0, 0.0, (0.0, 0.0))
    assert set(nut.from_nut_mm) == set(nut.error_cents) == {0.0}


def test_a_treble_end_nearer_the_bridge_is_a_positive_angle():
    nut, square = BOARD.frets[0], BOARD.frets[7]
    assert nut.treble_edge[0] > nut.bass_edge[0]
    assert nut.angle_deg > 0 > LAST.angle_deg
    assert square.angle_deg == 0
    assert square.bass_edge[0] == square.treble_edge[0] == square.centre_mm


def test_margins_stand_square_to_the_centre_line_at_nut_and_last_fret():
    sides = BOARD.frets[0], LAST
    for edge, string in (("bass_edge", 0), ("treble_edge", -1)):
        (x0, y0), (x1, y1) = (getattr(fret, edge) for fret in sides)
        nut, bridge = BOARD.strings[string].nut, BOARD.strings[string].bridge
        share = LAST.from_nut_mm[string] / BOARD.strings[string].scale_mm
        end = tuple(a + (b - a) * share for a, b in zip(nut, bridge, strict=True))
        for (x, y), margin in ((nut, 3), (end, 4)):
            assert abs(y0 + (y1 - y0) * (x - x0) / (x1 - x0) - y) == pytest.approx(margin, abs=1e-9)


def test_slot_wire_and_blank_follow_from_the_line():
    for fret in BOARD.frets:
        (x_bass, y_bass), (x_treble, y_treble) = fret.bass_edge, fret.treble_edge
        assert fret.slot_mm == pytest.approx(hypot(x_treble - x_bass, y_treble - y_bass), rel=1e-12)
        assert fret.slot_mm == pytest.approx((y_treble - y_bass) / cos(radians(fret.angle_deg)), rel=1e-12)
        assert fret.wire_mm == fret.slot_mm + 5
        assert sum(fret.blank_x) / 2 == pytest.approx(fret.centre_mm, abs=1e-9)
    assert BOARD.board.wire_total_mm == pytest.approx(sum(fret.wire_mm for fret in BOARD.frets[1:]), rel=1e-14)


def test_frets_follow_one_another_everywhere():
    for one, other in pairwise(BOARD.frets):
        assert one.centre_mm < other.centre_mm
        assert one.bass_edge[0] < other.bass_edge[0]
        assert one.treble_edge[0] < other.treble_edge[0]
        assert all(a < b for a, b in zip(one.from_nut_mm, other.from_nut_mm, strict=True))
        assert all(a < b for a, b in zip(one.edge_from_nut_mm, other.edge_from_nut_mm, strict=True))


def test_the_end_is_cut_parallel_to_the_last_fret():
    nut_bass, nut_treble, end_treble, end_bass = BOARD.board.outline
    assert (nut_bass, nut_treble) == (BOARD.frets[0].bass_edge, BOARD.frets[0].treble_edge)
    assert BOARD.board.length_mm == LAST.centre_mm + 8
    slope = (end_treble[0] - end_bass[0]) / (end_treble[1] - end_bass[1])
    last = (LAST.treble_edge[0] - LAST.bass_edge[0]) / (LAST.treble_edge[1] - LAST.bass_edge[1])
    assert slope == pytest.approx(last, rel=1e-12)
    assert end_bass[0] - slope * end_bass[1] == pytest.approx(BOARD.board.length_mm, rel=1e-14)


def test_widths_are_square_to_the_centre_line():
    one_scale = derived({"scale.bass": "34 in", "scale.treble": "34 in"}).board
    assert one_scale.width_nut_mm == pytest.approx(39 + 2 * 3, rel=1e-14)
    assert one_scale.width_end_mm == pytest.approx(39 * 0.25 + 72 * 0.75 + 2 * 4, rel=1e-14)


def test_bend_radius_of_a_square_fret_is_the_boards():
    share = BOARD.frets[7].centre_mm / LAST.centre_mm
    assert BOARD.frets[7].bend_radius_mm == pytest.approx(355.6 + (457.2 - 355.6) * share, rel=1e-12)
    assert derived({"fingerboard.radius_nut": None, "fingerboard.radius_end": None}).frets[7].bend_radius_mm is None
