"""The materials list: wire from real slots, parts by count, and yields worked by hand from their rows."""

import math

import pytest
from shapely.geometry import Polygon

from specs.geometry.body import body_outline
from specs.materials import materials
from specs.materials.board import marker_count
from specs.materials.consumables import rows, usual
from specs.materials.finish import oil_ml, sprayed_ml
from specs.materials.parts import winding_length_mm
from specs.materials.sizes import coated_body_m2, face_area_m2
from specs.vocabulary import CONSTRUCTIONS, FINISH_KINDS, FRETS_KINDS, HEADSTOCKS, NECK_FINISHES, TOPS
from tests.specs.documents import FOUR_STRING, SIX_STRING, derived

GLOSS = {"finish.kind": "two-component", "finish.sheen": "gloss"}
ACTIVE = {"electronics.circuit": "active two-band", "electronics.supply": "18 V", "electronics.battery_boxes": 2}


def quantity(word, changes=None):
    """Sum of the lines whose item holds a word."""
    return sum(line.quantity for line in materials(derived(changes)) if word in line.item)


def test_wire_is_the_sum_of_24_slanted_slots_with_allowance_and_waste():
    instrument = derived()
    lengths = [math.dist(fret.bass_edge, fret.treble_edge) + 2 * 2.5 for fret in instrument.frets[1:]]
    assert quantity("fret wire") == pytest.approx(sum(lengths) * 1.05 / 1000, rel=1e-12)


def test_wire_of_a_five_string_is_within_the_usual_one_and_a_half_to_two_metres():
    """Common practice: 1.5-2.0 m for 24 slanted frets."""
    assert 1.5 < quantity("fret wire") < 2.0


def test_a_zero_fret_has_its_own_line_outside_the_total():
    zero = {"nut.kind": "zero fret"}
    wire = [line.quantity for line in materials(derived(zero)) if line.group == "fret wire"]
    assert wire == pytest.approx([quantity("fret wire"), derived().frets[0].wire_mm / 1000])


@pytest.mark.parametrize(("kind", "items"), [("lined fretless", ["line veneer"]), ("unlined fretless", [])])
def test_a_fretless_board_takes_no_wire(kind, items):
    lines = materials(derived({"fingerboard.frets_kind": kind}))
    assert [line.item for line in lines if line.group == "fret wire"] == items


def test_markers_of_24_frets_are_twelve():
    """Common practice: 12 dots; one less pair than 24 frets on 22, none before the third."""
    assert [marker_count(frets) for frets in (24, 22, 12, 2)] == [12, 10, 6, 0]


@pytest.mark.parametrize(("inches", "needed"), [("34 in", 904), ("35 in", 930), ("36 in", 955), ("37 in", 980)])
def test_winding_length_of_published_scales(inches, needed):
    """Common practice, computed: 34 in 904 mm, 35 in 930 (rounded up), 36 in 955, 37 in 980."""
    instrument = derived({"scale.bass": inches})
    assert winding_length_mm(instrument, instrument.strings[0]) == pytest.approx(needed, abs=1.01)


@pytest.mark.parametrize(("changes", "count"), [(FOUR_STRING, 4), ({}, 5), (SIX_STRING, 6)])
def test_tuners_bridge_units_and_strings_follow_the_string_count(changes, count):
    lines = materials(derived(changes))
    assert quantity("ultralight tuners", changes) == count
    assert quantity("single units", changes) == count
    assert sum(line.group == "strings" for line in lines) == count


def test_a_drop_tuner_replaces_one_tuner():
    drop = {"hardware.drop_tuner": True}
    assert (quantity("ultralight tuners", drop), quantity("drop tuner", drop)) == (4, 1)


def test_a_headless_neck_has_an_anchor_and_no_tuners():
    headless = {"neck.headstock": "headless", "bridge.kind": "headless single units"}
    assert (quantity("tuner", headless), quantity("string anchor", headless)) == (0, 1)


def test_neck_screws_are_of_a_bolt_on_only():
    assert quantity("neck screws", {"neck.bolts": "6 screws"}) == 6
    assert (quantity("neck machine screws"), quantity("threaded inserts M5")) == (5, 5)
    assert quantity("neck machine screws", {"neck.construction": "neck-through"}) == 0


def test_bars_are_bought_when_ordered():
    assert (quantity("carbon bars"), quantity("carbon bars", {"neck.stiffening_bars": False})) == (2, 0)


def test_18_v_takes_two_batteries_and_passive_none():
    assert (quantity("9 V alkaline", ACTIVE), quantity("battery boxes", ACTIVE), quantity("preamp", ACTIVE)) == (
        2,
        2,
        1,
    )
    assert (quantity("9 V alkaline"), quantity("preamp")) == (0, 0)


def test_the_nut_blank_is_as_long_as_its_slant():
    """45 mm square at 34° reads about 54 mm along: common practice, computed; 6 mm over."""
    (blank,) = [line.item for line in materials(derived()) if "nut blank" in line.item]
    assert blank == "bone nut blank 6 × 10 × 60 mm"


def test_oil_of_an_instrument_by_its_coverage():
    """0.7 m² × 3 coats at 12.5 m² a litre (a maker's general data): 168 ml. Common practice: 80-150 ml an instrument,
    30-50 of them on the neck."""
    assert oil_ml(0.7, 3, 12.5) == pytest.approx(168)
    assert 80 <= quantity("drying oil") <= 150
    assert 30 <= quantity("drying oil, neck") <= 50


def test_the_coated_body_is_both_faces_and_the_edge():
    """Measured by shapely on a fine outline."""
    outline = Polygon(body_outline(derived()).polygon(64))
    assert coated_body_m2(derived()) == pytest.approx((2 * outline.area + 42 * outline.length) / 1e6, rel=1e-3)
    assert face_area_m2(derived()) == pytest.approx(outline.area / 1e6, rel=1e-3)


def test_glue_of_a_top_follows_the_drawn_outline_and_an_oily_top_takes_epoxy():
    """280 g a square metre of the face and 10 g in its joint (common practice)."""
    walnut = {"body.top": "flat", "body.top_wood": "walnut"}
    assert quantity("PVA, top", walnut) == pytest.approx(280 * face_area_m2(derived()))
    assert quantity("PVA, joint of the top", walnut) == 10
    cocobolo = {"body.top": "flat", "body.top_wood": "cocobolo"}
    assert quantity("epoxy, top", cocobolo) == pytest.approx(440 * face_area_m2(derived()))
    assert (quantity("acetone", cocobolo), quantity("acetone", {"fingerboard.wood": "maple"})) == (20, 0)


def test_wings_take_50_to_70_grams():
    """Common practice for two wings; less where a top has made them thinner."""
    assert 50 <= quantity("wings to core", {"neck.construction": "neck-through"}) <= 70


def test_every_piece_of_wood_gets_a_label():
    """Two boards, five strips, one fingerboard blank; two plates of a top more."""
    assert quantity("serial labels") == 2 + 5 + 1
    assert quantity("serial labels", {"body.top": "flat"}) == 2 + 5 + 1 + 2


def test_gloss_is_flatted_back_and_coated_again():
    """Common practice: 3 sheets and 150-250 ml."""
    assert 150 <= quantity("final coats", GLOSS) <= 250
    assert quantity("flatting back", GLOSS) == 3
    assert quantity("final coats", {"finish.kind": "two-component"}) == 0


def test_clear_by_film_build_solids_and_what_lands():
    """1 m² at 100 micron dry is 100 ml of solids; at 50 % solids and half landing 400 ml are sprayed. 25 ml stay in
    the gun at each of five coats (common practice)."""
    assert sprayed_ml(1, 100, 50, 50) == pytest.approx(400)
    assert quantity("gloss clear", GLOSS) == pytest.approx(coated_body_m2(derived()) * 200 / 0.4 / 0.4 + 5 * 25)


def test_film_quantities_lie_in_the_usual_ranges():
    """Common practice for one body, ml: gloss 350-600, with a neck-through's neck 500-800, nitro 700-1100,
    satin 250-400, sealer 120-200."""
    through = {**GLOSS, "neck.construction": "neck-through", "neck.finish": "gloss"}
    assert 350 <= quantity("gloss clear", GLOSS) <= 600
    assert 500 <= quantity("gloss clear", through) <= 800
    assert 700 <= quantity("nitrocellulose", {"finish.kind": "nitrocellulose"}) <= 1100
    assert 250 <= quantity("satin clear", {"finish.kind": "two-component"}) <= 400
    assert 120 <= quantity("sealer", GLOSS) - quantity("sheets, sealer", GLOSS) <= 200


@pytest.mark.parametrize("finish", ["satin", "gloss"])
def test_a_neck_and_a_lacquered_board_take_the_usual_millilitres(finish):
    """Common practice: neck back 120-180 ml, face of a lacquered board 60-100 ml."""
    assert 120 <= quantity("clear, neck", {"neck.finish": finish}) <= 180
    assert 60 <= quantity("clear, fingerboard", {"fingerboard.finish": "film", "fingerboard.wood": "maple"}) <= 100


def test_filler_colour_and_burst_follow_the_finish():
    ash = {**GLOSS, "body.wood": "ash", "finish.pores": "closed"}
    assert (quantity("grain filler", ash), quantity("grain filler", {**ash, "body.wood": "alder"})) == (90, 0)
    assert quantity("burst toner", {**GLOSS, "finish.colour": "burst"}) == 90
    assert quantity("metallic", {**GLOSS, "finish.colour": "metallic"}) == pytest.approx(
        coated_body_m2(derived()) * 22 / 0.12 / 0.4 + 2 * 25
    )


def test_glue_of_the_usual_joints():
    """Common practice: 15-25 g a body joint, 60-100 g a five-piece neck of 760 mm, 25-35 g a fingerboard."""
    headless = {"neck.headstock": "headless", "bridge.kind": "headless single units"}
    assert 15 <= quantity("body joints") <= 25
    assert 60 <= quantity("neck laminates", headless) <= 100
    assert 25 <= quantity("PVA, fingerboard") <= 35


def test_no_joint_no_glue():
    assert quantity("body joints", {"body.pieces": 1}) == 0
    assert quantity("neck laminates", {"neck.pieces": 1}) == 0


@pytest.mark.parametrize("kind", FRETS_KINDS)
@pytest.mark.parametrize("headstock", HEADSTOCKS)
@pytest.mark.parametrize("construction", CONSTRUCTIONS)
def test_every_line_has_a_quantity_and_says_how(kind, headstock, construction):
    changes = {"fingerboard.frets_kind": kind, "neck.headstock": headstock, "neck.construction": construction}
    lines = materials(derived(changes))
    assert [line for line in lines if not (line.quantity > 0 and line.how and line.unit)] == []
    assert len({(line.group, line.item) for line in lines}) == len(lines)


@pytest.mark.parametrize("finish", FINISH_KINDS)
@pytest.mark.parametrize("neck", NECK_FINISHES)
@pytest.mark.parametrize("top", TOPS)
def test_every_finish_and_top_can_be_listed(finish, neck, top):
    lines = materials(derived({"finish.kind": finish, "neck.finish": neck, "body.top": top}))
    assert {"wood", "strings", "glue"} <= {line.group for line in lines}


def test_every_yield_has_a_source_and_lies_in_its_range():
    for name, row in rows().items():
        assert row["source"], name
        assert float(row["low"]) <= usual(name) <= float(row["high"]), name
