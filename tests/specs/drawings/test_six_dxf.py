"""Six DXF files read back by a DXF library: every point against 40 digits, every outline closed, every layer's name."""

import pytest
import shapely

from specs.drawings.plan import LAYERS
from tests.specs.drawings.six import KERF_MM, MODES, SPECS, drawn, dxf, exact, instrument, layers

NEAR_MM = 1e-4

KINDS = {
    "BLANK": "LWPOLYLINE", "BOARD-OUTLINE": "LWPOLYLINE", "NUT-SEAT": "LWPOLYLINE", "SLOTS": "LWPOLYLINE",
    "CUTTER-PATHS": "LWPOLYLINE", "PICKUP-ROUTS": "LWPOLYLINE", "PIN-HOLES": "CIRCLE", "SCREW-CENTRES": "CIRCLE",
    "BRIDGE-POINTS": "POINT", "FRET-NUMBERS": "TEXT", "WORDS": "TEXT",
}  # fmt: skip
"""What lies on a layer; straight lines on all others."""

pytestmark = pytest.mark.parametrize("name", SPECS)
either_way = pytest.mark.parametrize("mode", MODES)


def on(name, layer, mode="through"):
    return layers(name, mode)[layer]


def points(entity):
    match entity.dxftype():
        case "LINE":
            ends = (entity.dxf.start, entity.dxf.end)
        case "LWPOLYLINE":
            ends = entity.vertices_in_wcs()
        case "CIRCLE":
            ends = (entity.dxf.center,)
        case "POINT":
            ends = (entity.dxf.location,)
    return [complex(end.x, end.y) for end in ends]


def farthest_mm(found, wanted):
    """How far the worst of the wanted points is from the nearest found one."""
    return float(max(min(abs(point - one) for one in found) for point in wanted))


@either_way
def test_every_slot_lies_where_forty_digits_put_it(name, mode):
    slots = on(name, "SLOTS", mode)
    zero_fret = instrument(name).spec.nut.kind == "zero fret"
    assert len(slots) == 24 + zero_fret
    for slot, wanted in zip(slots, exact(name, mode)["SLOTS"], strict=True):
        assert len(points(slot)) == 4
        assert farthest_mm(points(slot), wanted) < NEAR_MM
        assert shapely.Polygon(slot.get_points("xy")).minimum_clearance == pytest.approx(float(KERF_MM), abs=NEAR_MM)


@either_way
def test_everything_else_lies_where_forty_digits_put_it(name, mode):
    for layer, wanted in exact(name, mode).items():
        found = on(name, layer, mode)
        assert len(found) == len(wanted)
        for one, ends in zip(found, wanted, strict=True):
            assert len(points(one)) == len(ends)
            assert farthest_mm(points(one), ends) < NEAR_MM


@either_way
def test_no_outline_is_open_or_crosses_itself(name, mode):
    outlines = list(dxf(name, mode).modelspace().query("LWPOLYLINE"))
    assert {one.dxf.layer for one in outlines} == {layer for layer, kind in KINDS.items() if kind == "LWPOLYLINE"}
    for one in outlines:
        assert one.closed
        assert shapely.Polygon(one.get_points("xy")).is_valid
        assert not any(bulge for *_, bulge in one.get_points("xyseb"))


@either_way
def test_layers_are_named_by_what_lies_on_them(name, mode):
    document = dxf(name, mode)
    entities = list(document.modelspace())
    unmeasured = set() if exact(name)["SCREW-CENTRES"] else {"SCREW-CENTRES"}
    assert {entity.dxf.layer for entity in entities} == set(LAYERS) - unmeasured
    assert all(entity.dxftype() == KINDS.get(entity.dxf.layer, "LINE") for entity in entities)
    assert {entity.dxf.layer for entity in entities} <= {layer.dxf.name for layer in document.layers}
    assert document.audit().errors == []


def test_a_text_says_which_face_is_up_and_which_hand(name):
    hand = "LEFT-HANDED" if name == "left hand" else "RIGHT-HANDED"
    texts = [text.dxf.text for text in on(name, "WORDS")]
    assert f"{hand} - FACE UP: the side the strings lie on" in texts
    assert {"bass side", "treble side", "nut end"} < set(texts)
    assert not any("RIGHT" in text for text in texts if hand.startswith("LEFT"))


def test_both_pins_and_the_datum_cross_stand_on_the_centre_line_and_the_pins_clear_of_the_board(name):
    (centre_line,), (along, across) = on(name, "CENTRE-LINE"), on(name, "DATUM")
    pins, (board,), (blank,) = (on(name, layer) for layer in ("PIN-HOLES", "BOARD-OUTLINE", "BLANK"))
    finished, wood = (shapely.Polygon(one.get_points("xy")) for one in (board, blank))
    assert len(pins) == 2
    for pin in pins:
        hole = shapely.Point(pin.dxf.center.x, pin.dxf.center.y).buffer(pin.dxf.radius)
        assert wood.contains(hole)
        assert not finished.intersects(hole)
    lines = [points(line) for line in (centre_line, along)] + [points(pin) for pin in pins]
    assert {point.imag for line in lines for point in line} == {0.0}
    square = instrument(name).spec.scale.perpendicular_fret
    lined = exact(name)["FRET-LINES"]
    at = lined[int(square)][0].real if square == int(square) else 0
    assert abs(points(along)[0].real + 8 - at) < NEAR_MM
    assert [abs(end.real - at) < NEAR_MM for end in points(across)] == [True, True]


@either_way
def test_slots_lie_on_the_blank_and_blind_ones_inside_the_board(name, mode):
    around = on(name, "BLANK" if mode == "through" else "BOARD-OUTLINE", mode)[0]
    wood = shapely.Polygon(around.get_points("xy"))
    assert all(wood.contains(shapely.Polygon(slot.get_points("xy"))) for slot in on(name, "SLOTS", mode))


@either_way
def test_the_cutter_goes_round_inside_its_slot(name, mode):
    for way, slot in zip(on(name, "CUTTER-PATHS", mode), on(name, "SLOTS", mode), strict=True):
        cut = shapely.Polygon(way.get_points("xy")).buffer(0.25, join_style="mitre")
        outside = cut.difference(shapely.Polygon(slot.get_points("xy")).buffer(NEAR_MM))
        assert (outside.area > 0) == (mode == "through")


def test_every_rout_holds_the_row_it_is_named_after(name):
    for rout, wanted in zip(on(name, "PICKUP-ROUTS"), exact(name)["PICKUP-ROWS"], strict=True):
        hole = shapely.Polygon(rout.get_points("xy"))
        assert hole.contains(shapely.LineString([(float(end.real), float(end.imag)) for end in wanted]))


def test_screws_of_the_bridge_are_drawn_only_where_the_unit_was_measured(name):
    measured = instrument(name).spec.bridge.front_screw_mm is not None
    assert len(on(name, "SCREW-CENTRES")) == (2 * len(instrument(name).strings) if measured else 0)
    assert bool(drawn(name).on("SCREW-CENTRES")) == measured
