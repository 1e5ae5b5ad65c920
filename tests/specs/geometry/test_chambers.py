"""Chambers and the skin left round them, measured by shapely and judged by the shop's least."""

import pytest
from shapely.geometry import Polygon

from specs.geometry.body import SHAPES, body_outline, carves
from specs.geometry.chambers import chambered_l, chambers, skins
from specs.geometry.neck import finished_board
from tests.specs.documents import FOUR_STRING, SIX_STRING, derived

TOPPED = {"body.chambering": "chambered", "body.top": "flat", "body.top_wood": "walnut"}
POLYGON_MM = 0.2
"""What eight points a span cost against a fine curve."""


def hollows(instrument):
    return [Polygon(chamber.curve.polygon(64)) for chamber in chambers(instrument)]


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("strings", [FOUR_STRING, {}, SIX_STRING])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_shops_own_chambers_are_sound_under_a_top(shape, strings, hand):
    """Common practice, no source: rim 10 to 12, 25 at bridge and neck, back 8 to 10, 2 mm over a carve, to 1 litre."""
    instrument = derived(strings | TOPPED | {"hand": hand, "body.shape": shape})
    left = skins(instrument)
    assert left.sound
    assert (left.top_mm, left.back_mm) == (6, 9)
    assert 0.5 < chambered_l(instrument) < 1.0


def test_skins_are_what_shapely_measures():
    instrument = derived(TOPPED)
    left, edge = skins(instrument), Polygon(body_outline(instrument).polygon(64)).exterior
    assert left.rim_mm == pytest.approx(min(hollow.distance(edge) for hollow in hollows(instrument)), abs=POLYGON_MM)
    board = Polygon(finished_board(instrument))
    assert left.to_neck_mm == pytest.approx(
        min(hollow.distance(board) for hollow in hollows(instrument)), abs=POLYGON_MM
    )
    over = [
        (6 if carve.face == "face" else 9) - carve.depth_at_mm(point)
        for carve in carves(instrument)
        for hollow in hollows(instrument)
        for piece in [hollow.intersection(Polygon(carve.outline))] if piece.area
        for point in piece.exterior.coords
    ]  # fmt: skip
    assert left.over_mm == pytest.approx(min(over), abs=POLYGON_MM)


def test_chambers_do_not_meet_and_lie_inside():
    instrument = derived(TOPPED)
    bass, treble = hollows(instrument)
    assert bass.is_valid
    assert treble.is_valid
    assert not bass.intersects(treble)
    assert Polygon(body_outline(instrument).polygon()).contains(bass.union(treble))
    assert chambered_l(instrument) == pytest.approx((bass.area + treble.area) * 27 / 1e6, rel=1e-4)


def test_a_carve_without_a_top_breaks_through():
    left = skins(derived({"body.chambering": "chambered"}))
    assert left.over_mm < 0
    assert not left.sound


def test_a_flat_body_has_no_carve_over_a_chamber():
    left = skins(derived(TOPPED | {"body.forearm": "none", "body.belly": False, "body.heel": False}))
    assert left.over_mm is None
    assert left.sound


def test_a_solid_body_has_none():
    assert chambers(derived()) == ()
    assert skins(derived()) is None
    assert chambered_l(derived()) == 0


def test_a_thin_body_keeps_its_back():
    assert chambers(derived(TOPPED | {"body.thickness": 25, "body.top_thickness": 20}))[0].depth_mm == 0
