"""The gathered figures: against worked examples, handbook rows, and what must be said where nothing can be."""

from math import cos, radians

import pytest

from specs.numbers import headlines, numbers
from specs.numbers.figure import AT_LEAST, AT_MOST, Limit
from specs.wood.parts import hang
from tests.specs.documents import derived

CHAMBERED = {"body.chambering": "chambered", "body.top": "flat", "body.top_wood": "walnut"}
EMC_TABLE_PCT = 0.06

SOAPBAR = {"name": "bridge", "rows": [{"strings": [1, 2, 3, 4, 5]}], "fraction": 0.1, "angle": "aligned"}


@pytest.fixture(scope="module")
def plain():
    return numbers(derived())


def test_the_groups_in_the_order_they_are_read(plain):
    keys = ["neck", "headstock", "body", "mass", "pickups", "movement", "bending"]
    assert [group.key for group in plain.groups] == keys


def test_every_figure_has_a_value_or_says_why_and_every_one_its_source(plain):
    for group in plain.groups:
        for figure in group.figures:
            assert (figure.value is None) == bool(figure.lacking), figure
            assert figure.label and figure.how and figure.source, figure  # noqa: PT018
        for table in group.tables:
            assert {len(row) for row in table.rows} == {len(table.columns)}


def test_the_nut_is_longer_along_its_slant(plain):
    """Worked: 45 mm square at 33 degrees is 53.7 mm along; common practice says 54."""
    neck = plain["neck"]
    along_mm = neck["nut_square_mm"].value / cos(radians(neck["nut_deg"].value))
    assert neck["nut_slanted_mm"].value == pytest.approx(along_mm, abs=0.06)
    assert neck["nut_leans"].value == "toward the bridge"


def test_the_crown_at_the_last_fret_is_the_circles(plain):
    """Worked: r − √(r² − (w/2)²) with 18 in and the board's width at fret 24."""
    last, width_mm, radius_mm = plain["neck"]["crown_24_mm"], plain["neck"].tables[0].rows[24][1], 18 * 25.4
    assert last.value == pytest.approx(radius_mm - (radius_mm**2 - (width_mm / 2) ** 2) ** 0.5, rel=1e-9)
    assert (last.place.kind, last.place.number) == ("fret", 24)


def test_least_wood_under_a_slot_and_where():
    """Common practice: 6.5 mm less 1.5 tang, 0.4 air and the crown's drop; least at the widest fret."""
    neck = numbers(derived())["neck"]
    drop_mm = neck.tables[0].rows[24][3]
    for mode in ("before", "after"):
        wood = neck[f"wood_{mode}_mm"]
        assert (wood.value, wood.place.number) == (pytest.approx(6.5 - 1.9 - drop_mm), 24)
        assert (wood.limit, wood.kept) == (Limit(AT_LEAST, 2.5), True)
    assert numbers(derived({"fingerboard.thickness": 4.4}))["neck"]["wood_after_mm"].kept is False


def test_37_inches_need_980_mm_of_winding():
    """Common practice, no source: 34 in needs 904 mm and 37 in 980 mm with an anchor of 30 mm."""
    neck = numbers(derived({"strings.winding_length": 950}))["neck"]
    assert (neck["winding_mm"].value, neck["winding_mm"].kept) == (pytest.approx(980, abs=0.5), False)
    assert [row[0] for row in neck.tables[1].rows] == [1, 2, 3, 4, 5]
    assert neck.tables[1].rows[0][3] == pytest.approx(904, abs=0.5)


def test_posts_far_outside_break_the_eight_degrees():
    turn = numbers(derived({"neck.tuner_outward": "15 mm"}))["headstock"]["turn_deg"]
    assert (turn.kept, turn.limit, turn.place.number) == (False, Limit(AT_MOST, 8.0), 1)
    assert numbers(derived())["headstock"]["turn_deg"].kept is True


def test_a_solid_body_of_usual_litres_and_a_chambered_ones_skins(plain):
    """Common practice, no source: 4.4 litres solid; chambers of 0.6 to 1.0 litre."""
    assert plain["body"]["volume_l"].value == pytest.approx(4.4, rel=0.05)
    assert (plain["body"]["chambers_l"].value, plain["body"].tables) == (None, ())
    body = numbers(derived(CHAMBERED))["body"]
    assert 0.6 < body["chambers_l"].value < 1.0
    assert all(figure.kept for figure in body.figures if figure.limit)
    assert sum(row[3] for row in body.tables[0].rows) == pytest.approx(body["chambers_l"].value)


def test_mass_and_balance_are_those_of_the_parts(plain):
    mass, hanging = plain["mass"], hang(derived())
    assert (mass["low_kg"].value, mass["high_kg"].value) == hanging.mass_kg
    assert sum(row[2] for row in mass.tables[0].rows) == pytest.approx(mass["usual_kg"].value)
    moment = sum(row[2] * (row[4] - mass["balance_mm"].value) for row in mass.tables[0].rows)
    assert moment == pytest.approx(0, abs=1e-6)
    assert mass["drops"].value == "hangs level"


def test_a_ceiling_is_kept_or_not():
    usual = {kg: numbers(derived({"body.weight_ceiling_kg": kg}))["mass"]["usual_kg"] for kg in (3.0, 5.0)}
    assert [usual[kg].kept for kg in usual] == [False, True]


def test_a_weighed_plank_counts_for_its_species():
    measured = numbers(derived(), densities={"body": 500.0})["mass"].tables[0].rows[0]
    assert measured[1] == measured[2] == measured[3]


def test_wood_from_35_to_55_percent_of_humidity(plain):
    """Wood Handbook Table 4-2 at 70 °F: 6.9 % and 10.1 %; Eq 13-2 by hand with alder's Table 13-5 rows."""
    moved = plain["movement"]
    assert moved["emc_dry_pct"].value == pytest.approx(6.9, abs=EMC_TABLE_PCT)
    assert moved["emc_damp_pct"].value == pytest.approx(10.1, abs=EMC_TABLE_PCT)
    change = moved["emc_damp_pct"].value - moved["emc_dry_pct"].value
    assert moved["body_flat_mm"].value == pytest.approx(345 * 0.00256 * change)
    assert moved["body_quarter_mm"].value == pytest.approx(345 * 0.00151 * change)


def test_a_wood_without_a_published_row_says_so():
    moved = numbers(derived({"body.wood": "okoume", "fingerboard.wood": "ebony"}))["movement"]
    unknown = [figure.key for figure in moved.figures if figure.lacking]
    assert unknown == ["body_flat_mm", "body_quarter_mm", "board_flat_mm", "board_quarter_mm", "apart_mm"]


def test_both_woods_of_a_laminated_neck_are_told():
    moved = numbers(derived({"neck.wood": "maple and walnut"}))["movement"]
    assert [figure.place.kind for figure in moved.figures if figure.key.startswith("neck")] == ["maple", "walnut"]


def test_the_bow_is_a_quarter_of_the_rise_and_states_its_limits(plain):
    """A circle: L²/8R in the middle, L²/2R at the end."""
    bending = plain["bending"]
    assert bending["tip_mm"].value == pytest.approx(4 * bending["relief_mm"].value)
    assert "no rod" in bending.note


def test_the_free_space_is_what_the_last_fret_and_the_overhang_leave():
    """Equal temperament by hand: past fret 24 a quarter of the scale is left, less 8 mm of board; 34 in: 207.9 mm."""
    room = numbers(derived())["pickups"]
    assert room["free_treble_mm"].value == pytest.approx(34 * 25.4 / 4 - 8, abs=0.5)
    assert room["free_treble_mm"].value < room["free_bass_mm"].value
    assert (room["free_treble_mm"].limit, room.tables) == (None, ())


def test_pickups_are_told_one_by_one_and_the_room_they_need():
    """Common practice, no source: shells 38 mm deep with 3 mm gaps, 30 mm of bridge."""
    square = {"scale.bass": "34 in", "pickups": [SOAPBAR | {"name": name} for name in ("neck", "bridge")]}
    group = numbers(derived(square))["pickups"]
    assert group["free_treble_mm"].limit == Limit(AT_LEAST, 2 * (38 + 3) + 30)
    assert [row[0] for row in group.tables[0].rows] == ["neck", "bridge"]
    assert [row[3] for row in group.tables[0].rows] == [pytest.approx(0, abs=1e-9)] * 2
    crowded = numbers(derived(square | {"fingerboard.frets": 36}))["pickups"]["free_treble_mm"]
    assert crowded.kept is False


def test_a_softer_neck_bows_more_in_proportion():
    """A beam's bow goes with 1/E: Wood Handbook Table 5-3b, maple 12 600 MPa, Table 5-5b, mahogany 10 300 MPa."""
    maple, mahogany = (
        numbers(derived({"neck.wood": wood}))["bending"]["relief_mm"].value for wood in ("hard maple", "mahogany")
    )
    assert mahogany / maple == pytest.approx(12600 / 10300)


def test_a_neck_wood_without_a_published_modulus_says_so():
    bending = numbers(derived({"neck.wood": "roasted maple"}))["bending"]
    assert [figure.key for figure in bending.figures if figure.lacking] == ["moe_mpa", "tip_mm", "relief_mm"]
    assert bending["pull_n"].value > 0


@pytest.mark.parametrize(
    ("changes", "group", "said"),
    [
        ({"neck.headstock": "headless"}, "headstock", "tuned at the bridge"),
        ({"neck.tuner_layout": "2+2"}, "headstock", "one tuner a string"),
        ({"neck.tuner_layout": "2+2"}, "mass", "one tuner a string"),
        ({"fingerboard.frets": 8, "neck.pocket": 150}, "body", "past fret 12"),
        ({"fingerboard.frets": 1, "scale.perpendicular_fret": 0, "neck.pocket": 150}, "bending", "longer than"),
    ],
)
def test_a_group_that_cannot_be_computed_says_why(changes, group, said):
    found = numbers(derived(changes))[group]
    assert found.figures == ()
    assert said in " ".join(found.lacking)


def test_a_fretless_board_has_no_wire_and_an_unlined_one_no_slots():
    lined = numbers(derived({"fingerboard.frets_kind": "lined fretless"}))["neck"]
    assert (bool(lined["bend_least_mm"].lacking), lined["slot_after_mm"].lacking) == (True, "")
    unlined = numbers(derived({"fingerboard.frets_kind": "unlined fretless"}))["neck"]
    assert (unlined["slot_after_mm"].value, unlined["wood_before_mm"].kept) == (None, None)


def test_the_headlines_of_an_order():
    told = [figure.key for _, figure in headlines(derived())]
    neck = ["free_treble_mm", "nut_slanted_mm", "wood_after_mm"]
    assert told == ["balance_mm", "drops", "turn_deg", "clearance_mm", *neck]
    with_ceiling = headlines(derived({"body.weight_ceiling_kg": 4.2, "neck.headstock": "headless"}))
    assert [figure.key for _, figure in with_ceiling] == ["usual_kg", "ceiling", "balance_mm", "drops", *neck]
