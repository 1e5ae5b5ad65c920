"""The one geometry: what is drawn, on which layer, on which side, and what is refused."""

from math import dist

import pytest

from specs.drawings.plan import CoilRow, Rout, Screw, plan
from specs.drawings.shapes import Hole, Line
from specs.errors import Refused
from tests.specs.documents import derived


def drawn(changes=None, **cut):
    return plan(derived(changes), **({"kerf_mm": 0.58, "cutter_mm": 0.58} | cut))


def names(found):
    return [shape.name for shape in found]


def test_every_fret_has_its_slot_its_line_and_its_number():
    found = drawn()
    assert names(found.on("SLOTS")) == names(found.on("SLOT-CENTRES")) == [f"fret {n}" for n in range(1, 25)]
    assert names(found.on("FRET-LINES")) == ["nut", *(f"fret {n}" for n in range(1, 25))]
    assert [words.text for words in found.on("FRET-NUMBERS")] == ["N", *map(str, range(1, 25))]


def test_a_zero_fret_gets_a_slot_and_wood_behind_it():
    found = drawn({"nut.kind": "zero fret"})
    board, seat = found.on("BOARD-OUTLINE")[0], found.on("NUT-SEAT")[0]
    assert names(found.on("SLOTS"))[0] == "fret 0"
    assert board.points[:2] == seat.points[:2]
    assert board.points[0][0] < found.on("FRET-LINES")[0].start[0]


def test_a_nut_moved_forward_takes_the_boards_end_along_and_leaves_the_frets():
    moved, plain = drawn({"nut.forward": 1.5}), drawn()
    assert moved.on("FRET-LINES") == plain.on("FRET-LINES")
    (x, y), (plain_x, plain_y) = moved.on("BOARD-OUTLINE")[0].points[0], plain.on("BOARD-OUTLINE")[0].points[0]
    assert (x - plain_x, y) == pytest.approx((1.5, plain_y), abs=0.05)
    assert moved.on("NUT-SEAT")[0].points[0] == (x, y)


def test_an_unlined_board_has_no_slot_and_only_the_nuts_line():
    found = drawn({"fingerboard.frets_kind": "unlined fretless"})
    assert found.on("SLOTS") == ()
    assert names(found.on("FRET-LINES")) == ["nut"]
    assert any("no slots" in words.text for words in found.on("WORDS"))


def test_the_datum_is_the_perpendicular_frets_line_or_the_nuts_centre():
    whole, fraction = drawn(), drawn({"scale.perpendicular_fret": 7.5})
    at = derived().frets[7].centre_mm
    assert (whole.datum, fraction.datum) == ("line of fret 7", "centre of the nut")
    assert [line.start for line in whole.on("DATUM")] == [(at - 8, 0), (at, -8)]
    assert [line.start for line in fraction.on("DATUM")] == [(-8, 0), (0, -8)]


@pytest.mark.parametrize("perpendicular", [0, 7, 12])
def test_both_pins_stand_on_the_centre_line_in_the_waste(perpendicular):
    instrument = derived({"scale.perpendicular_fret": perpendicular})
    at_nut, at_end = drawn({"scale.perpendicular_fret": perpendicular}).on("PIN-HOLES")
    (start, *_), (_, end, *_) = (drawn({"scale.perpendicular_fret": perpendicular}).on("BLANK")[0].points,) * 2
    assert at_nut.centre[1] == at_end.centre[1] == 0
    assert start[0] + 3 < at_nut.centre[0] < -3
    assert instrument.board.length_mm + 3 < at_end.centre[0] < end[0] - 3


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_whole_board_and_every_fret_line_lie_on_the_blank(hand):
    found = drawn({"hand": hand})
    (left, low), _, (right, high), _ = found.on("BLANK")[0].points
    points = [*found.on("BOARD-OUTLINE")[0].points, *(p for fret in found.on("FRET-LINES") for p in fret.points)]
    assert all(left < x < right and low < y < high for x, y in points)


def test_left_handed_is_the_mirror_of_right_handed_and_says_so():
    right, left = drawn(), drawn({"hand": "left"})
    assert (right.hand, left.hand) == ("RIGHT-HANDED", "LEFT-HANDED")
    for layer in ("BOARD-OUTLINE", "NUT-SEAT", "FRET-LINES", "SLOT-CENTRES", "STRINGS", "BRIDGE-POINTS", "BRIDGE-LINE"):
        for one, other in zip(right.on(layer), left.on(layer), strict=True):
            assert [(x, -y) for x, y in other.points] == [pytest.approx(point, abs=1e-9) for point in one.points]


@pytest.mark.parametrize(("hand", "side"), [("right", -1), ("left", 1)])
def test_the_words_name_the_side_the_bass_string_is_on(hand, side):
    words = {word.text: word.at for word in drawn({"hand": hand}).on("WORDS")}
    assert words["bass side"][1] * side > 0 > words["treble side"][1] * side
    assert f"{hand.upper()}-HANDED - FACE UP: the side the strings lie on" in words


def test_saddle_windows_lie_behind_the_scale_point_along_their_string():
    windows = [(-1.0, 8.0), (-1.0, 7.0), (-1.0, 6.0), (-1.0, 5.0), (-1.0, 4.0)]
    instrument, found = derived(), drawn(saddle_windows=windows).on("SADDLE-WINDOWS")
    for string, window, line in zip(instrument.strings, windows, found, strict=True):
        reach = [dist(string.nut, end) - string.scale_mm for end in line.points]
        assert reach == pytest.approx(window, abs=1e-9)


def test_a_window_for_every_string_or_none():
    with pytest.raises(ValueError, match="zip"):
        drawn(saddle_windows=[(-1.0, 8.0)])


def test_pickup_rows_and_screws_are_drawn_where_given():
    found = drawn(
        pickup_rows=[CoilRow("bridge", (850.0, -30.0), (820.0, 30.0))], screws=[Screw("string 1", (900.0, 12.0), 2.5)]
    )
    assert found.on("PICKUP-ROWS") == (Line("PICKUP-ROWS", "bridge", (850.0, -30.0), (820.0, 30.0)),)
    assert found.on("SCREW-CENTRES") == (Hole("SCREW-CENTRES", "string 1", (900.0, 12.0), 2.5),)


@pytest.mark.parametrize(
    ("cut", "field"),
    [
        ({"mode": "blind", "cutter_mm": 60.0, "kerf_mm": 60.0}, "cutter"),
        ({"cutter_mm": 0.6}, "cutter"),
        ({"cutter_mm": 0.0}, "cutter"),
        ({"mode": "half"}, "mode"),
    ],
)
def test_a_cut_that_cannot_be_made_is_refused(cut, field):
    with pytest.raises(Refused) as refusal:
        drawn(**cut)
    assert [problem.field for problem in refusal.value.problems] == [field]


def test_words_go_through_the_readers_language():
    found = plan(derived(), kerf_mm=0.58, cutter_mm=0.58, say=str.upper)
    assert all(words.text == words.text.upper() for words in found.on("WORDS") if not words.text.endswith("mm"))


def test_routs_and_notes_stand_on_their_layers():
    found = drawn(routs=[Rout("bridge", ((0, 0), (1, 0), (1, 1)))], notes=["X26-0001, revision A - NOT RELEASED"])
    assert names(found.on("PICKUP-ROUTS")) == ["bridge"]
    assert "X26-0001, revision A - NOT RELEASED" in [words.text for words in found.on("WORDS")]
