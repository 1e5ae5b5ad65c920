"""The machine file, read back by a DXF library and measured against the computed instrument."""

from io import StringIO
from math import cos, dist, radians

import ezdxf
import pytest
from ezdxf import units

from specs.drawings.dxf import write_dxf
from specs.drawings.plan import LAYERS, plan
from tests.specs.documents import derived

READ_BACK_MM = 1e-6


def read(instrument, **cut):
    return ezdxf.read(StringIO(write_dxf(plan(instrument, **({"kerf_mm": 0.58, "cutter_mm": 0.58} | cut))).decode()))


def on(document, layer):
    return list(document.modelspace().query(f'*[layer=="{layer}"]'))


def corners(outline):
    return [(x, y) for x, y in outline.get_points("xy")]


def middle(one, other):
    return ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)


def apart(one, other):
    return dist((one[0], one[1]), (other[0], other[1]))


def test_is_metric_r2010_without_an_error():
    document = read(derived())
    assert document.dxfversion == "AC1024"
    assert (document.header["$INSUNITS"], document.header["$MEASUREMENT"]) == (units.MM, 1)
    assert document.audit().errors == []


def test_layers_say_what_lies_on_them():
    document = read(derived(), kerf_mm=0.6)
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert used == set(LAYERS) - {"SADDLE-WINDOWS", "PICKUP-ROWS", "PICKUP-ROUTS", "SCREW-CENTRES"}
    assert used <= {layer.dxf.name for layer in document.layers}


def test_same_plan_same_bytes_and_the_library_left_as_it_was():
    drawn = plan(derived(), kerf_mm=0.58, cutter_mm=0.58)
    assert write_dxf(drawn) == write_dxf(drawn)
    assert ezdxf.options.write_fixed_meta_data_for_testing is False


@pytest.mark.parametrize(("mode", "past_mm"), [("through", 3.0), ("blind", -2.0)])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_every_slot_lies_on_its_fret_from_end_to_end(mode, past_mm, hand):
    instrument = derived({"hand": hand})
    slots = on(read(instrument, mode=mode), "SLOTS")
    assert len(slots) == 24
    for fret, slot in zip(instrument.frets[1:], slots, strict=True):
        a, b, c, d = corners(slot)
        assert slot.closed
        assert apart(a, d) == pytest.approx(0.58, abs=READ_BACK_MM)
        assert apart(a, b) == pytest.approx(fret.slot_mm + 2 * past_mm, abs=READ_BACK_MM)
        for end, edge in ((middle(a, d), fret.bass_edge), (middle(b, c), fret.treble_edge)):
            assert apart(end, edge) == pytest.approx(abs(past_mm), abs=READ_BACK_MM)


def test_a_blind_cutter_stays_inside_its_slot():
    instrument = derived()
    document = read(instrument, kerf_mm=0.6, cutter_mm=0.5, mode="blind")
    for fret, path, way in zip(
        instrument.frets[1:], on(document, "SLOT-CENTRES"), on(document, "CUTTER-PATHS"), strict=True
    ):
        assert apart(path.dxf.start, path.dxf.end) == pytest.approx(fret.slot_mm - 4 - 0.5, abs=READ_BACK_MM)
        a, b, _, d = corners(way)
        assert way.closed
        assert (apart(a, b), apart(a, d)) == pytest.approx((fret.slot_mm - 4.5, 0.1), abs=READ_BACK_MM)


def test_what_is_cut_round_is_closed():
    document = read(derived(), kerf_mm=0.6)
    outlines = document.modelspace().query("LWPOLYLINE")
    assert {outline.dxf.layer for outline in outlines} == {
        "BLANK",
        "BOARD-OUTLINE",
        "NUT-SEAT",
        "SLOTS",
        "CUTTER-PATHS",
    }
    assert all(outline.closed and len(outline) == 4 for outline in outlines)


def test_strings_run_from_nut_to_bridge_at_their_scale():
    instrument = derived()
    document = read(instrument)
    for string, line, point in zip(
        instrument.strings, on(document, "STRINGS"), on(document, "BRIDGE-POINTS"), strict=True
    ):
        assert apart(line.dxf.start, line.dxf.end) == pytest.approx(string.scale_mm, abs=READ_BACK_MM)
        assert apart(point.dxf.location, string.bridge) < READ_BACK_MM


@pytest.mark.parametrize(("hand", "side"), [("right", -1), ("left", 1)])
def test_the_bass_string_lies_below_on_a_right_handed_board_and_above_on_a_left_handed_one(hand, side):
    document = read(derived({"hand": hand}))
    bass = max(on(document, "STRINGS"), key=lambda line: apart(line.dxf.start, line.dxf.end))
    assert bass.dxf.start.y * side > 0
    assert bass.dxf.end.y * side > 0
    words = [text.dxf.text for text in on(document, "WORDS")]
    assert f"{hand.upper()}-HANDED - FACE UP: the side the strings lie on" in words


def test_left_is_the_mirror_image_of_right_and_its_letters_are_not():
    right, left = (read(derived({"hand": hand})) for hand in ("right", "left"))
    for one, other in zip(right.modelspace().query("LINE"), left.modelspace().query("LINE"), strict=True):
        if one.dxf.layer != "DATUM":
            assert apart(one.dxf.start, (other.dxf.start.x, -other.dxf.start.y)) < READ_BACK_MM
    assert all(text.dxf.text_generation_flag == 0 for text in left.modelspace().query("TEXT"))


def test_the_nut_is_six_millimetres_square_to_its_face():
    """Common practice, no source: a nut blank of 6 mm."""
    instrument = derived()
    (seat,) = on(read(instrument), "NUT-SEAT")
    face_bass, face_treble, _, back_bass = corners(seat)
    slope = (face_treble[0] - face_bass[0]) / (face_treble[1] - face_bass[1])
    back_on_axis = back_bass[0] - slope * back_bass[1]
    assert -back_on_axis * cos(radians(instrument.nut_angle_deg)) == pytest.approx(6, abs=READ_BACK_MM)
