"""The body against shapely, a finished body's usual size, and its own mirror image."""

import pytest
from shapely.geometry import LineString, Polygon, box

from specs.errors import Refused
from specs.geometry.body import BELLY_MM, SHAPES, body_outline, body_size, carves
from tests.specs.documents import FOUR_STRING, SIX_STRING, derived

INSTRUMENTS = {"four": FOUR_STRING, "five": {}, "six": SIX_STRING}
PLAIN = {"body.forearm": "none", "body.belly": False, "body.heel": False, "body.edge_radius": 0}


def drawn(instrument):
    return Polygon(body_outline(instrument).polygon())


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("strings", INSTRUMENTS)
@pytest.mark.parametrize("hand", ["right", "left"])
def test_an_outline_never_crosses_itself_and_is_as_wide_as_ordered(shape, strings, hand):
    """Simple, counter-clockwise and one piece, says shapely."""
    outline = drawn(derived(INSTRUMENTS[strings] | {"hand": hand, "body.width": 350, "body.shape": shape}))
    assert outline.is_valid
    assert outline.exterior.is_ccw
    assert outline.bounds[3] - outline.bounds[1] == pytest.approx(350, abs=0.05)


@pytest.mark.parametrize("strings", INSTRUMENTS)
def test_all_bridge_points_and_the_pocket_lie_on_the_body(strings):
    instrument = derived(INSTRUMENTS[strings])
    outline, board = drawn(instrument), instrument.board
    assert outline.contains(LineString([string.bridge for string in instrument.strings]).buffer(25))
    half = min(board.width_nut_mm, board.width_end_mm) / 2
    assert outline.contains(box(board.length_mm - 70, -half, board.length_mm, half))


def test_a_solid_body_of_42_mm_holds_the_usual_litres():
    """Common practice, no source: a finished body of 4.4 litres."""
    assert body_size(derived()).volume_l == pytest.approx(4.4, rel=0.05)


def test_the_upper_horn_reaches_fret_12():
    """Common practice, no source: the upper strap button at or past fret 12."""
    instrument = derived()
    assert drawn(instrument).bounds[0] == pytest.approx(instrument.frets[12].centre_mm, abs=10)


def test_the_area_is_shapelys():
    instrument = derived()
    fine = Polygon(body_outline(instrument).polygon(200))
    assert body_size(instrument).area_mm2 == pytest.approx(fine.area, rel=1e-6)


def test_a_plain_slab_is_area_times_thickness():
    size = body_size(derived(PLAIN | {"body.thickness": 40}))
    assert (size.edges_l, size.carves_l) == (0, 0)
    assert size.volume_l == pytest.approx(size.area_mm2 * 40 / 1e6)


@pytest.mark.parametrize(("edge", "share"), [("round-over", 0.2146), ("bevel", 0.5), ("bound", 0)])
def test_an_edge_takes_its_section_all_round_twice(edge, share):
    instrument = derived(PLAIN | {"body.edge": edge, "body.edge_radius": 8})
    expected = 2 * share * 64 * drawn(instrument).length / 1e6
    assert body_size(instrument).edges_l == pytest.approx(expected, rel=1e-3)


def test_carves_are_what_was_ordered():
    assert [carve.name for carve in carves(derived())] == ["forearm", "belly", "heel"]
    assert carves(derived(PLAIN)) == ()
    assert [carve.name for carve in carves(derived(PLAIN | {"body.belly": True}))] == ["belly"]


@pytest.mark.parametrize("number", range(3))
def test_what_a_carve_removes_is_summed_in_strips_by_shapely(number):
    """Depth runs evenly from nothing at the line to its greatest: area of each thin strip times its depth."""
    carve = carves(derived())[number]
    region = Polygon(carve.outline)
    depths = [carve.depth_at_mm(corner) for corner in carve.outline]
    assert (min(depths), max(depths)) == (pytest.approx(0, abs=1e-6), pytest.approx(carve.depth_mm))
    strips = (region.intersection(box(x, -400, x + 2, 400)) for x in range(400, 1100, 2))
    summed = sum(strip.area * carve.depth_at_mm(strip.centroid.coords[0]) for strip in strips if strip.area)
    assert carve.removed_mm3 == pytest.approx(summed, rel=1e-6)


def test_the_belly_is_carved_at_the_back_on_the_bass_side():
    for hand, side in (("right", -1), ("left", 1)):
        belly = next(carve for carve in carves(derived({"hand": hand})) if carve.name == "belly")
        assert (belly.face, belly.depth_mm) == ("back", BELLY_MM)
        assert Polygon(belly.outline).centroid.y * side > 0


def test_left_handed_is_the_mirror_image():
    right, left = derived(), derived({"hand": "left"})
    mirrored = Polygon([(x, -y) for x, y in drawn(left).exterior.coords])
    assert mirrored.symmetric_difference(drawn(right)).area < 1e-6
    assert body_size(left).volume_l == pytest.approx(body_size(right).volume_l)


def test_an_unknown_shape_and_a_joint_off_the_body_are_refused():
    with pytest.raises(Refused) as refusal:
        derived({"body.shape": "round"})
    assert [problem.field for problem in refusal.value.problems] == ["body.shape"]
    with pytest.raises(Refused) as refusal:
        body_outline(derived({"fingerboard.frets": 12}))
    assert [problem.field for problem in refusal.value.problems] == ["neck.pocket"]
