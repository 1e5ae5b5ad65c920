"""Strips of the time chart: bars where their hours are, lanes without overlap, small neighbours as one."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from random import Random
from xml.etree import ElementTree

import numpy as np
import pytest

from routing.planning.timetable import minute_of
from routing.rota import DAY
from shop.backlog.timechart import Bar, Mark, Window, groups, lanes_of, strip

MONDAY = minute_of(date(2026, 4, 13))
WEEK = Window(MONDAY, 7)
SVG = "{http://www.w3.org/2000/svg}"


def drawn(text: str) -> ElementTree.Element:
    return ElementTree.fromstring(text)


@pytest.mark.parametrize(
    ("day", "hour", "place"),
    [
        (0, 7, 0.0), (0, 13, 50 / 7), (0, 19, 100 / 7), (0, 23, 100 / 7), (1, 3, 100 / 7), (2, 10, 225 / 7),
        (7, 12, 100.0), (-1, 12, 0.0),
    ],
)  # fmt: skip
def test_a_day_takes_a_seventh_of_the_week_and_its_night_nothing(day, hour, place):
    assert WEEK.place(MONDAY + day * DAY + hour * 60) == pytest.approx(place)


def test_a_bar_its_wait_and_the_promise_lie_where_they_were_put():
    bar = Bar(10.0, 15.5, 30.0, "Fretting", "C26-0001, Fretting", "/bench/tasks/7/")
    root = drawn(strip([[bar]], [0.0, 50.0], 22.0, "C26-0001", Mark(60.0, "promised")))
    work, promise = root.findall(".//svg")
    assert (work.get("x"), work.get("width"), work.get("class")) == ("10%", "5.5%", "work")
    assert (promise.get("x"), promise.get("aria-label")) == ("60%", "promised")
    assert root.find("a").get("aria-label") == work.find("title").text == "C26-0001, Fretting"
    lines = {(line.get("class"), line.get("x1"), line.get("x2")) for line in root.findall("line")}
    assert lines == {(None, "0%", "0%"), (None, "50%", "50%"), ("today", "22%", "22%"), ("wait", "15.5%", "30%")}


def test_what_lies_outside_is_not_drawn_and_what_is_short_is_seen():
    bars = [Bar(0.0, 0.0, 0.0, "", "before"), Bar(50.0, 50.0, 50.0, "", "short"), Bar(100.0, 100.0, 100.0, "", "after")]
    found = drawn(strip([bars], [], None, "row")).findall(".//svg")
    assert [(one.find("title").text, one.get("width")) for one in found] == [("short", "0.25%")]


def test_names_are_text_and_nothing_else():
    assert "<b>" not in strip([[Bar(1, 9, 9, "<b>", "<b>")]], [], None, '"<b>')


CHANCE = Random(20260413)
SPANS = [
    sorted((begin, begin + CHANCE.randint(1, 30)) for begin in (CHANCE.randint(0, 200) for _one in range(count)))
    for count in (0, 1, 2, 7, 40, 200)
]


@pytest.mark.parametrize("spans", SPANS)
def test_lanes_hold_no_two_at_once_and_no_more_than_needed(spans):
    lanes = lanes_of([begin for begin, _ in spans], [end for _, end in spans], most=99)
    for lane in set(lanes):
        mine = [span for span, at in zip(spans, lanes, strict=True) if at == lane]
        assert all(one[1] <= other[0] for one, other in pairwise(mine))
    moments = np.array([sum(begin <= at < end for begin, end in spans) for at in range(240)])
    assert len(set(lanes)) == moments.max(initial=0)


@pytest.mark.parametrize("spans", SPANS)
def test_groups_leave_nobody_out(spans):
    found = list(groups([begin / 2 for begin, _ in spans], [end / 2 for _, end in spans])) if spans else []
    assert [place for first, last in found for place in range(first, last + 1)] == list(range(len(spans)))


def test_only_small_neighbours_become_one():
    assert list(groups([0.0, 0.5, 1.0, 3.0], [0.5, 1.0, 2.8, 9.0])) == [(0, 2), (3, 3)]
