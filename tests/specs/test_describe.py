"""The spec in words, and the walk a form is built from."""

import pytest

from specs.describe import describe, walk
from specs.document import BuildSpec
from specs.fields import REQUIRED, Flag
from specs.parsing import parse
from specs.starters import starter


def said(heading, **changes):
    """The sentence under a heading for a five-string starter with sections changed."""
    document = starter(5)
    for section, values in changes.items():
        document[section] = values if isinstance(values, str | list) else document[section] | values
    return dict(describe(parse(document)))[heading]


@pytest.mark.parametrize(
    ("heading", "changes", "sentence"),
    [
        ("Hand", {}, "RIGHT-HANDED."),
        ("Hand", {"hand": "left"}, "LEFT-HANDED."),
        ("Scale pair", {}, "Bass 37 in (939.8 mm), treble 34 in (863.6 mm), square at fret 7."),
        ("Scale pair", {"scale": {"perpendicular_fret": 0}},
         "Bass 37 in (939.8 mm), treble 34 in (863.6 mm), square at the nut."),
        ("Strings", {}, "5 strings, nickel-plated round, lowest to highest: 5 = B0 .130 in, 4 = E1 .105 in, "
                        "3 = A1 .085 in, 2 = D2 .065 in, 1 = G2 .045 in."),
        ("Nut", {"nut": {"kind": "zero fret"}}, "Zero fret with a bone nut behind it, outer strings 38 mm apart square "
                                                "to the centre line, equal gaps."),
        ("Finish", {"finish": {"kind": "nitrocellulose", "sheen": "gloss", "colour": "burst", "shade": "amber"}},
         "Nitrocellulose, gloss, burst amber of 2 tones, pores open, water dye, headstock face natural."),
        ("Hardware", {"hardware": {"colour": "gold"}},
         "Ultralight tuners, metal in gold, bridge in chrome, metal knobs, strap buttons."),
        ("Case and papers", {"case": {"engraving": "for a friend", "monogram": "headplate"}},
         "Hard case 1300 mm long inside, outer carton, certificate, monogram on the headplate, "
         "engraved “for a friend”."),
        ("Remarks", {"remarks": " call first "}, "call first"),
    ],
)  # fmt: skip
def test_a_heading_says_what_was_ordered(heading, changes, sentence):
    assert said(heading, **changes) == sentence


@pytest.mark.parametrize(
    ("heading", "changes", "words"),
    [
        ("Neck", {"neck": {"headstock": "headless"}}, "headless, tuners at the bridge"),
        ("Neck", {"neck": {"headplate": True, "ears": True}}, "tuners 3+2, with ears and headplate"),
        ("Neck", {"neck": {"pieces": 1}}, "1 piece, "),
        ("Body", {"body": {"top": "flat", "top_wood": "walnut", "top_thickness": 6}}, "flat top in walnut 6 mm thick"),
        ("Body", {"body": {"weight_ceiling_kg": 4.2}}, "finished weight at most 4.2 kg"),
        ("Fingerboard", {}, "radius 16 in to 20 in"),
        ("Fingerboard", {"fingerboard": {"radius_nut": None, "radius_end": None}}, "flat"),
        ("Fingerboard", {"fingerboard": {"frets_kind": "lined fretless"}}, "24 frets, lined fretless, radius"),
        ("Electronics", {"electronics": {"supply": "18 V", "battery_boxes": 2}}, "18 V from 2 battery boxes"),
        ("Setup", {}, "0.3 mm at the nut and 3.2 mm at the saddle"),
    ],
)  # fmt: skip
def test_a_sentence_names_the_choice(heading, changes, words):
    assert words in said(heading, **changes)


def test_every_pickup_has_its_own_heading_and_idle_ones_are_left_out():
    headings = [heading for heading, _ in describe(parse(starter(4)))]
    assert headings[6:8] == ["Pickup: neck", "Pickup: bridge"]
    assert "Remarks" not in headings


def test_the_walk_of_a_class_gives_defaults():
    entries = {entry.path: entry for entry in walk(BuildSpec)}
    assert entries["scale.bass"].value is REQUIRED
    assert entries["neck.ears"] == ("neck.ears", "Headstock ears", Flag(), False)
    assert entries["pickups"].value == ()


def test_the_walk_of_a_spec_gives_its_values_down_to_every_row():
    entries = {entry.path: entry.value for entry in walk(parse(starter(5)))}
    assert (entries["scale.bass"], entries["pickups.1.name"]) == (939.8, "bridge")
    assert entries["pickups.0.rows.0.strings"] == (1, 2, 3, 4, 5)
    assert "pickups" not in entries
