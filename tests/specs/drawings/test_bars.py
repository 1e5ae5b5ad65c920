"""A bar is as long as its share, never longer than its row."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from specs.drawings.bars import bar


@pytest.mark.parametrize(
    ("value", "largest", "length"), [(60, 240, "25"), (300, 240, "100"), (-1, 240, "0"), (5, 0, "0")]
)
def test_length_is_the_share_of_the_largest(value, largest, length):
    svg = ElementTree.fromstring(bar(value, largest, "60 N of 240 N"))
    assert svg.get("aria-label") == "60 N of 240 N"
    assert svg.findall("rect")[1].get("width") == length


def test_mark_stands_at_its_share():
    svg = ElementTree.fromstring(bar(71, 100, "71 h", mark=58))
    assert svg.find("line").get("x1") == "58"
