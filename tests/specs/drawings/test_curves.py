"""Small pictures of loudness: every string's curve where its levels put it, on one scale, with a name."""

from xml.etree import ElementTree

import pytest

from specs.acoustics.response import curve
from specs.drawings.curves import HIGH, StringCurve, response_curves

SVG = "{http://www.w3.org/2000/svg}"
TWO = [StringCurve("5", curve([(0.25, 1.0)], 8)), StringCurve("4", curve([(0.1, 1.0)], 8))]


def curves(drawn):
    svg = ElementTree.fromstring(drawn)
    found = {line.get("data-curve"): line for line in svg.iter(f"{SVG}polyline") if line.get("data-curve")}
    return svg, {
        name: [tuple(map(float, pair.split(","))) for pair in line.get("points").split()]
        for name, line in found.items()
    }  # fmt: skip


def test_heights_are_the_levels_on_one_scale():
    _, drawn = curves(response_curves(TWO))
    ground = max(y for _, y in drawn["5"])
    heights = [(ground - y) / HIGH for _, y in drawn["5"]]
    assert heights == pytest.approx([level / 1.0 for level in TWO[0].levels], abs=1e-6)


def test_a_node_lies_on_the_ground():
    """Plain wave theory: a coil at a quarter of the string senses nothing of harmonics 4 and 8."""
    _, drawn = curves(response_curves(TWO))
    ground = max(y for _, y in drawn["5"])
    assert [place + 1 for place, (_, y) in enumerate(drawn["5"]) if y == ground] == [4, 8]


def test_everything_lies_inside_the_frame_and_is_named():
    svg, drawn = curves(response_curves([*TWO, *TWO], title="Curves & strings"))
    x, y, width, height = map(float, svg.get("viewBox").split())
    assert all(x <= px <= x + width and y <= py <= y + height for points in drawn.values() for px, py in points)
    assert svg.findtext(f"{SVG}title") == "Curves & strings"
    assert svg.findtext(f"{SVG}desc").endswith("Strings: 5, 4, 5, 4.")


def test_silence_is_drawn_and_nothing_is_refused():
    _, drawn = curves(response_curves([StringCurve("1", (0.0, 0.0))]))
    assert len({y for _, y in drawn["1"]}) == 1
    with pytest.raises(ValueError, match="one string"):
        response_curves([])
