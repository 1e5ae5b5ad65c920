"""The line of a date that is not certain, read back from its XML."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from specs.drawings.reach import WIDE, Reach, reach

SVG = "{http://www.w3.org/2000/svg}"


def strokes(found: Reach, longest: float = 100) -> dict[str, float]:
    root = ElementTree.fromstring(reach(found, longest, title="C26-0001", told="P80 in 30 days"))
    return {line.get("data-name"): float(line.get("x1")) for line in root.iter(f"{SVG}line") if line.get("data-name")}


def test_strokes_stand_at_their_days():
    assert strokes(Reach(10, 20, 50)) == {"p50": WIDE / 10, "p80": WIDE / 5, "p95": WIDE / 2}


def test_what_lies_beyond_the_axis_is_drawn_at_its_end():
    assert strokes(Reach(-5, 90, 200)) == {"p50": 0, "p80": 0.9 * WIDE, "p95": WIDE}


def test_a_date_beyond_the_horizon_has_no_stroke():
    assert strokes(Reach(10, None, None)) == {"p50": WIDE / 10}


@pytest.mark.parametrize(("promise", "marks"), [(40, 1), (None, 0)])
def test_the_promise_is_a_mark_above(promise, marks):
    root = ElementTree.fromstring(reach(Reach(10, 20, 50, promise), 100, title="C26-0001", told="x"))
    assert len(root.findall(f"{SVG}polygon")) == marks
    assert root.find(f"{SVG}title").text == "C26-0001"


def test_an_axis_needs_a_length():
    with pytest.raises(ValueError, match="length"):
        reach(Reach(1, 2, 3), 0, title="", told="")
