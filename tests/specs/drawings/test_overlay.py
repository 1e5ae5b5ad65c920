"""Two boards over one another: both where they were computed, the second dashed, each named."""

from xml.etree import ElementTree

import pytest

from specs.drawings.overlay import overlaid_drawing
from tests.specs.documents import derived

SVG = "{http://www.w3.org/2000/svg}"
WRITTEN_MM = 1e-6


@pytest.fixture
def both():
    return derived(), derived({"scale.bass": "36 in"})


def drawn(both):
    return ElementTree.fromstring(overlaid_drawing(*both, names=("X26-0001", "36 in")))


def ends(line):
    return [sign * float(line.get(key)) for key, sign in {"x1": 1, "y1": -1, "x2": 1, "y2": -1}.items()]


def test_both_lie_where_they_were_computed(both):
    lines = list(drawn(both).iter(f"{SVG}line"))
    full = next(line for line in lines if line.get("data-fret") == "12")
    dashed = next(line for line in lines if line.get("data-dashed") == "fret-12")
    for line, instrument in ((full, both[0]), (dashed, both[1])):
        fret = instrument.frets[12]
        assert ends(line) == pytest.approx([*fret.bass_edge, *fret.treble_edge], abs=WRITTEN_MM)


def test_only_the_second_is_dashed_and_both_are_named(both):
    svg = drawn(both)
    dashed = [line for line in svg.iter(f"{SVG}line") if line.get("data-dashed")]
    assert all(line.get("stroke-dasharray") == "12 3" for line in dashed)
    named = {"full lines: X26-0001, RIGHT-HANDED", "dashed: 36 in, RIGHT-HANDED"}
    assert named <= {text.text for text in svg.iter(f"{SVG}text")}
    assert "X26-0001, RIGHT-HANDED, 939.80–863.60 mm." in svg.findtext(f"{SVG}desc")


def test_a_left_handed_one_is_named_so_beside_a_right_handed_one():
    texts = list(drawn((derived(), derived({"hand": "left"}))).iter(f"{SVG}text"))
    heights = {text.text: float(text.get("y")) for text in texts}
    full, dashed = heights["full lines: X26-0001, RIGHT-HANDED"], heights["dashed: 36 in, LEFT-HANDED"]
    assert dashed - full > float(texts[0].get("font-size"))
