"""What changed between two documents, in the order and the words of the declarations."""

import copy
import json

import pytest

from specs.differences import Difference, differences
from specs.starters import starter


@pytest.fixture
def old():
    return starter(5)


@pytest.fixture
def new(old):
    return copy.deepcopy(old)


def test_a_document_does_not_differ_from_itself(old):
    assert differences(old, json.loads(json.dumps(old, sort_keys=True))) == ()


def test_changes_are_told_in_document_order_whatever_the_order_of_keys(old, new):
    new["remarks"] = "soon"
    new["scale"]["bass"] = 914.4
    new["hand"] = "left"
    assert differences(old, json.loads(json.dumps(new, sort_keys=True))) == (
        Difference("hand", "Hand", "right", "left"),
        Difference("scale.bass", "Scale pair: Bass scale", 939.8, 914.4),
        Difference("remarks", "Remarks", "", "soon"),
    )


def test_one_string_is_told_by_its_trade_number(old, new):
    new["strings"]["gauges"][0] = 3.175
    new["strings"]["tuning"][4] = "F2"
    assert differences(old, new) == (
        Difference("strings.tuning.4", "Strings: Tuning, string 1", "G2", "F2"),
        Difference("strings.gauges.0", "Strings: Gauges, string 5", 3.302, 3.175),
    )


def test_another_number_of_strings_is_told_as_a_whole(old):
    paths = {item.path: item for item in differences(old, starter(4))}
    assert paths["strings.tuning"].new == ["E1", "A1", "D2", "G2"]
    assert paths["neck.tuner_layout"].label == "Neck: Tuners on the headstock"


def test_pickups_are_compared_one_by_one_and_a_lost_one_told_whole(old, new):
    new["pickups"][0]["fraction"] = 0.16
    lost = new["pickups"].pop()
    assert differences(old, new) == (
        Difference("pickups.0.fraction", "Pickups, 1: Fraction from the bridge", 0.155, 0.16),
        Difference("pickups.1", "Pickups, 2", lost, None),
    )


def test_an_option_added_since_counts_as_changed(old, new):
    del old["case"]["monogram"]
    assert differences(old, new) == (Difference("case.monogram", "Case and papers: Monogram", None, "none"),)
