"""Starters are ordinary: angles follow from the usual fan layout (atan of offset over spread), limits from practice."""

from math import atan2, degrees

import pytest

from specs.canonical import complete
from specs.errors import Refused
from specs.parsing import parse
from specs.starters import DEFAULT_PAIRS, USUAL_PAIRS, starter, with_pair

STEEP_DEG = 37
"""Where a fan gets tiring: common practice, no source."""
AIR_MM = 7.0
"""Smallest comfortable air between two strings at the nut: common practice, no source."""
TABLE_DEG = {(4, 2): (30, 31), (5, 3): (34, 35), (6, 3): (29, 30), (6, 4): (37, 37)}
"""Nut and bridge angle by strings and difference in inches at fret 7: computed table of the trade, whole degrees."""

WHOLE_DEGREE = 0.55
"""The table prints whole degrees."""


def fan_deg(document):
    """Angles of nut and bridge line from the scale pair: offset(nut) = difference x (1 - 2^(-p/12))."""
    scale = document["scale"]
    difference, shrink = scale["bass"] - scale["treble"], 2 ** (-scale["perpendicular_fret"] / 12)
    offsets = (difference * (1 - shrink), difference * shrink)
    spreads = (document["nut"]["spread"], document["bridge"]["spread"])
    return [degrees(atan2(offset, spread)) for offset, spread in zip(offsets, spreads, strict=True)]


def on_pair(pair):
    return with_pair(
        starter(pair.strings), f"{pair.bass_in} in", f"{pair.treble_in} in", pair.perpendicular_fret
    )  # fmt: skip


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("construction", ["bolt-on", "neck-through"])
@pytest.mark.parametrize("strings", [4, 5, 6])
def test_a_starter_is_complete_and_as_asked(strings, construction, hand):
    document = starter(strings, construction, hand)
    spec = parse(document)
    assert complete(spec) == document
    assert (spec.strings.count, spec.neck.construction, spec.hand) == (strings, construction, hand)


@pytest.mark.parametrize("pair", DEFAULT_PAIRS, ids=str)
def test_a_default_pair_is_no_steeper_than_its_table_says(pair):
    angles = fan_deg(on_pair(pair))
    assert angles == pytest.approx(TABLE_DEG[pair.strings, pair.bass_in - pair.treble_in], abs=WHOLE_DEGREE)
    assert max(angles) <= STEEP_DEG


@pytest.mark.parametrize("strings", [4, 5, 6])
def test_strings_have_air_at_the_nut(strings):
    document = starter(strings)
    gauges = document["strings"]["gauges"]
    air = (document["nut"]["spread"] - sum(gauges) + (gauges[0] + gauges[-1]) / 2) / (strings - 1)
    assert air > AIR_MM


def test_every_default_pair_is_a_usual_one():
    assert set(DEFAULT_PAIRS) <= set(USUAL_PAIRS)
    assert all(parse(on_pair(pair)) for pair in USUAL_PAIRS)


def test_another_pair_leaves_the_first_document_alone():
    before = starter(5)
    after = with_pair(before, "36 in", 863.6, 7.5)
    assert after["scale"] == {"bass": 914.4, "treble": 863.6, "perpendicular_fret": 7.5}
    assert before == starter(5)


def test_what_is_not_offered_is_refused():
    with pytest.raises(KeyError):
        starter(7)
    with pytest.raises(Refused, match=r"neck\.construction"):
        starter(5, "glued")
