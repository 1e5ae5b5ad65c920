"""The zones of the order form: their one line, what opens them, and that every path they name is a field."""

from __future__ import annotations

import pytest

from shop.orders.checking import check_entered
from shop.orders.entries import fields_of
from shop.orders.inputs import asked
from shop.orders.zones import PHRASES, RARE, ZONES, in_one_line
from specs.facts import OrderFacts
from specs.starters import starter

pytestmark = pytest.mark.django_db


def zones_of(document):
    return {zone.slug: zone for zone in asked(document, check_entered(document, OrderFacts())).zones}


def test_a_closed_zone_says_in_one_line_what_is_chosen():
    assert in_one_line("neck", fields_of(starter(5))) == "bolt-on, hard maple, angled, 24 frets, Indian rosewood"


def test_what_goes_without_saying_is_left_out():
    assert in_one_line("finish", fields_of(starter(5))) == "oil, satin, natural"


def test_every_path_named_is_a_field_of_the_form():
    fields = {path.removesuffix(".0") for path in fields_of(starter(5))} | {"strings.count"}
    named = RARE | {phrase.path for phrases in PHRASES.values() for phrase in phrases}
    assert named <= fields
    assert PHRASES.keys() == {slug for slug, _title, _keys in ZONES}


def test_the_first_zone_is_open_and_the_quiet_ones_are_closed():
    assert {slug: zone.is_open for slug, zone in zones_of(starter(5)).items()} == {
        "scale": True, "neck": False, "body": False, "finish": False, "sound": False, "rest": False,
    }  # fmt: skip


def test_a_stop_opens_its_zone_and_the_fields_seldom_touched():
    document = starter(5)
    document["neck"]["pieces"] = 99
    neck = zones_of(document)["neck"]
    assert (neck.is_open, neck.stops, neck.cautions) == (True, 1, 0)
    assert [group.more_said for group in neck.groups] == [False, True]
