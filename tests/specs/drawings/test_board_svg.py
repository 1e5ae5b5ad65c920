"""The drawing carries the computed points, on the right side, in well-formed SVG without styles."""

from __future__ import annotations

from itertools import combinations, pairwise
from xml.etree import ElementTree

import pytest

from specs.derive import derive
from specs.derived import Derived
from specs.drawings.svg import board_drawing, dimensioned_drawing
from specs.parsing import parse
from specs.starters import starter
from specs.tables import load_tables

SVG = "{http://www.w3.org/2000/svg}"
WRITTEN_MM = 1e-6


def instrument(strings: int = 5, hand: str = "right", **board: object) -> Derived:
    document = starter(strings, hand=hand)
    document["fingerboard"] |= board
    return derive(parse(document), load_tables())


def drawn(derived: Derived, **wishes: object) -> ElementTree.Element:
    return ElementTree.fromstring(board_drawing(derived, **wishes))


def lines(svg: ElementTree.Element, name: str) -> dict[str, list[float]]:
    """The ends of the lines that carry a ``data-`` name, y up again."""
    found = [line for line in svg.iter(f"{SVG}line") if line.get(f"data-{name}")]
    signs = {"x1": 1, "y1": -1, "x2": 1, "y2": -1}
    return {line.get(f"data-{name}"): [sign * float(line.get(key)) for key, sign in signs.items()] for line in found}


@pytest.mark.parametrize("strings", [4, 5, 6])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_frets_and_strings_lie_where_they_were_computed(strings, hand):
    derived = instrument(strings, hand)
    svg = drawn(derived)
    frets = {str(fret.fret): [*fret.bass_edge, *fret.treble_edge] for fret in derived.frets}
    strung = {str(string.number): [*string.nut, *string.bridge] for string in derived.strings}
    for name, wanted in (("fret", frets), ("string", strung)):
        found = lines(svg, name)
        assert found.keys() == wanted.keys()
        for key, ends in wanted.items():
            assert found[key] == pytest.approx(ends, abs=WRITTEN_MM)


@pytest.mark.parametrize(("hand", "lower"), [("right", "bass side"), ("left", "treble side")])
def test_bass_string_is_at_the_bottom_of_a_right_handed_drawing(hand, lower):
    svg = drawn(instrument(5, hand))
    bass, treble = lines(svg, "string")["5"], lines(svg, "string")["1"]
    assert (bass[1] < treble[1]) == (hand == "right")
    heights = {text.text: float(text.get("y")) for text in svg.iter(f"{SVG}text")}
    assert heights[lower] > 0
    assert f"{hand.upper()}-HANDED" in heights


@pytest.mark.parametrize("draw", [board_drawing, dimensioned_drawing])
@pytest.mark.parametrize("paper", [False, True])
def test_only_presentation_attributes_and_an_accessible_name(draw, paper):
    svg = ElementTree.fromstring(draw(instrument(), paper=paper, title="Board & strings"))
    assert svg.get("role") == "img"
    assert svg.findtext(f"{SVG}title") == "Board & strings"
    assert svg.findtext(f"{SVG}desc").startswith("RIGHT-HANDED. ")
    assert not [shape.tag for shape in svg.iter() if shape.get("style") or shape.tag == f"{SVG}style"]


def test_paper_has_ink_of_its_own():
    drawing = board_drawing(instrument(), paper=True)
    assert "currentColor" not in drawing
    assert "vector-effect" not in drawing


def test_everything_lies_inside_the_frame():
    for strings, hand in ((4, "right"), (6, "left")):
        svg = drawn(instrument(strings, hand))
        x, y, width, height = map(float, svg.get("viewBox").split())
        for text in svg.iter(f"{SVG}text"):
            assert x <= float(text.get("x")) <= x + width
            assert y <= float(text.get("y")) <= y + height


def test_fret_numbers_keep_apart():
    svg = drawn(instrument())
    spots = sorted(float(t.get("x")) for t in svg.iter(f"{SVG}text") if t.text == "nut" or t.text.isdecimal())
    size = float(next(svg.iter(f"{SVG}text")).get("font-size"))
    assert len(spots) > 8
    assert min(right - left for left, right in pairwise(spots)) > 1.4 * size


def test_line_kinds_are_two_to_one_and_the_centre_line_is_dashed_and_dotted():
    """ISO 128-2: thick to thin 2 to 1; long dash 24, gap 3, dot 0.5 line widths (*from memory*)."""
    svg = drawn(instrument())
    outline = svg.find(f"{SVG}polygon")
    centre = next(line for line in svg.iter(f"{SVG}line") if line.get("stroke-dasharray"))
    assert float(outline.get("stroke-width")) == 2 * float(centre.get("stroke-width"))
    assert centre.get("stroke-dasharray") == "24 3 0.5 3"


def test_string_is_as_wide_as_its_gauge():
    svg = drawn(instrument())
    bass = next(line for line in svg.iter(f"{SVG}line") if line.get("data-string") == "5")
    assert float(bass.get("stroke-width")) == pytest.approx(0.130 * 25.4, abs=WRITTEN_MM)


def test_unlined_board_shows_no_frets():
    svg = drawn(instrument(frets_kind="unlined fretless"))
    assert list(lines(svg, "fret")) == ["0"]


def test_perpendicular_fret_is_accented():
    svg = drawn(instrument())
    strokes = {line.get("data-fret"): line.get("stroke") for line in svg.iter(f"{SVG}line") if line.get("data-fret")}
    assert [fret for fret, stroke in strokes.items() if stroke != "currentColor"] == ["7"]


def test_dimensions_state_the_computed_lengths_and_angles():
    derived = instrument()
    words = {text.text for text in ElementTree.fromstring(dimensioned_drawing(derived)).iter(f"{SVG}text")}
    assert words >= {
        "bass scale 939.80",
        "treble scale 863.60",
        "bridge spread 72.00",
        f"board {derived.board.length_mm:.2f}",
        f"nut {derived.nut_angle_deg:.2f}°",
        f"bridge {-derived.bridge_angle_deg:.2f}°",
        f"width at last fret {derived.board.width_end_mm:.2f}",
    }


def test_words_are_said_in_the_readers_language():
    assert "DEDNAH-THGIR" in board_drawing(instrument(), say=lambda words: words[::-1])


@pytest.mark.parametrize("width", [720, 900, 1160])
@pytest.mark.parametrize("strings", [4, 5, 6])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_no_two_figures_of_the_dimensions_meet(width, strings, hand):
    svg = ElementTree.fromstring(dimensioned_drawing(instrument(strings, hand), width=width))
    boxes = [box(text) for text in svg.iter(f"{SVG}text")]
    meeting = [(one[0], other[0]) for one, other in combinations(boxes, 2) if meet(one[1:], other[1:])]
    assert meeting == []


LETTER_WIDTH, LETTER_HEIGHT = 0.6, 0.75
"""Of the size, for an ordinary sans-serif (*from memory*)."""


def box(text: ElementTree.Element) -> tuple[str, float, float, float, float]:
    """The words and the rectangle they fill: left, right, top, bottom. A turn under 45° is taken as none."""
    x, y, size = (float(text.get(name)) for name in ("x", "y", "font-size"))
    wide, high = LETTER_WIDTH * size * len(text.text), LETTER_HEIGHT * size
    before = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor")] * wide
    if (text.get("transform") or "").startswith("rotate(-90"):
        return text.text, x - high, x, y - before, y - before + wide
    return text.text, x - before, x - before + wide, y - high, y


def meet(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return one[0] < other[1] and other[0] < one[1] and one[2] < other[3] and other[2] < one[3]


@pytest.mark.parametrize("hand", ["right", "left"])
def test_pickups_are_shells_with_their_rows_and_saddles_have_their_window(hand):
    derived = instrument(5, hand)
    svg = drawn(derived)
    shells = [shape for shape in svg.iter(f"{SVG}polygon") if shape.get("data-pickup")]
    assert [shell.get("data-pickup") for shell in shells] == ["neck", "bridge"]
    row = lines(svg, "row")["bridge"]
    assert row == pytest.approx([*derived.pickups[1].rows[0].line[0], *derived.pickups[1].rows[0].line[1]])
    x1, y1, x2, y2 = lines(svg, "window")["5"]
    from_mm, to_mm = derived.strings[0].saddle_window_mm
    assert ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5 == pytest.approx(to_mm - from_mm, abs=WRITTEN_MM)
