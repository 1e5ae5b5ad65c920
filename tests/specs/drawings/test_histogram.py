"""Histograms: columns as NumPy counts them, strokes where the marks are."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from specs.drawings.histogram import WIDE, Column, Mark, columns, histogram


@pytest.mark.parametrize("seed", range(6))
def test_columns_hold_every_value_as_numpy_counts_them(seed):
    values = list(np.random.default_rng(seed).lognormal(0, 0.4, 60) * 10.0 ** (seed - 2))
    found = columns(values)
    edges = [column.begin for column in found] + [found[-1].end]
    counted, _edges = np.histogram(values, bins=edges)
    assert [column.count for column in found] == list(counted)
    assert sum(column.count for column in found) == 60
    assert len(found) <= 14


def test_widths_are_round():
    assert columns([1.0, 1.4, 1.9, 2.05]) == (
        Column(1.0, 1.1, 1), Column(1.1, 1.2, 0), Column(1.2, 1.3, 0), Column(1.3, 1.4, 0), Column(1.4, 1.5, 1),
        Column(1.5, 1.6, 0), Column(1.6, 1.7, 0), Column(1.7, 1.8, 0), Column(1.8, 1.9, 0), Column(1.9, 2.0, 1),
        Column(2.0, 2.1, 1),
    )  # fmt: skip


def test_one_value_is_one_column():
    (only,) = columns([2.0, 2.0])
    assert only.begin <= 2.0 < only.end
    assert only.count == 2


def test_no_value_is_refused():
    with pytest.raises(ValueError, match="one value"):
        columns([])


def test_the_drawing_has_a_column_a_filled_class_and_strokes_in_place():
    drawn = histogram([1.0, 1.1, 2.0], [Mark(1.0, "now"), Mark(2.1, "proposed", True)], unit="hours", title="Hours")
    root = ElementTree.fromstring(drawn)
    heights = [float(rect.get("height")) for rect in root.iter("{http://www.w3.org/2000/svg}rect")]
    assert len(heights) == 3
    strokes = [float(line.get("x1")) for line in root.iter("{http://www.w3.org/2000/svg}line")][1:]
    assert strokes == pytest.approx([0, WIDE])
    assert root.find("{http://www.w3.org/2000/svg}title").text == "Hours"
    assert not re.search(r'style="', drawn)


def test_no_name_of_a_mark_runs_off_the_picture():
    marks = (Mark(0.2, "least 0.2"), Mark(9.9, "most 9.9"), Mark(9.8, "nearly 9.8"))
    drawn = ElementTree.fromstring(histogram([float(at) for at in range(11)], marks, unit="days", title="x"))
    anchors = {text.text: text.get("text-anchor") for text in drawn.iter() if text.tag.endswith("text")}
    assert [anchors[mark.name] for mark in marks] == ["start", "end", "end"]
