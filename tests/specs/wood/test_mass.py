"""The mass forecast against what the trade weighs; ranges: common practice, no source."""

import pytest

from specs.wood.mass import SOURCE, forecast
from tests.specs.documents import FOUR_STRING, SIX_STRING, derived

SPECIES_OFF = 0.15


def told(changes=None, **measured):
    return forecast(derived(changes), measured)


@pytest.mark.parametrize(("changes", "low", "high"), [(FOUR_STRING, 3.4, 4.1), ({}, 3.7, 4.4), (SIX_STRING, 3.9, 4.7)])
def test_an_ordinary_body_reaches_the_usual_target(changes, low, high):
    """Common practice: 4 strings 3.4-4.1 kg, 5 strings 3.7-4.4, 6 strings 3.9-4.7."""
    said = told(changes)
    assert low <= said.usual_kg <= high
    assert said.low_kg < said.usual_kg < said.high_kg
    assert said.source == SOURCE


def test_a_solid_maple_five_string_weighs_about_5_kg():
    """Common practice: it passes 5.0 kg."""
    assert told({"body.wood": "maple"}).usual_kg == pytest.approx(5.0, abs=0.1)


@pytest.mark.parametrize("wood", ["paulownia", "alder", "maple"])
def test_chambering_saves_a_quarter_to_two_thirds_of_a_kilogram(wood):
    """Common practice: 0.9 litre saves 0.25 to 0.65 kg; the chambers drawn here are 0.8 litre."""
    saved = told({"body.wood": wood}).usual_kg - told({"body.wood": wood, "body.chambering": "chambered"}).usual_kg
    assert 0.20 < saved < 0.65


def test_paulownia_is_lighter_than_maple_by_the_wood_handbook():
    """4.4 litres less its cavities at 705.6 kg/m3 (1.12 x 0.63) and at 275."""
    maple, paulownia = (told({"body.wood": wood}) for wood in ("maple", "paulownia"))
    assert paulownia.body_kg / maple.body_kg == pytest.approx(275 / (1120 * 0.63))
    assert paulownia.usual_kg < maple.usual_kg - 1.5


def test_a_weighed_plank_replaces_its_species_and_its_doubt():
    plain, weighed = told(), told(body=500.0)
    assert weighed.body_kg / plain.body_kg == pytest.approx(500 / (1120 * 0.41))
    doubt = plain.high_kg - plain.low_kg - (weighed.high_kg - weighed.low_kg)
    assert doubt == pytest.approx(2 * SPECIES_OFF * plain.body_kg)


def test_a_thinner_body_and_one_battery_less_are_lighter():
    assert told({"body.thickness": 38}).body_kg < told().body_kg
    more = told({"electronics.supply": "18 V"}).usual_kg - told().usual_kg
    assert more == pytest.approx(0.09)


def test_what_cannot_be_drawn_is_not_weighed():
    assert told({"neck.tuner_layout": "3+3"}) is None
    assert told({"fingerboard.frets": 7, "neck.pocket": 150}) is None


@pytest.mark.parametrize("construction", ["bolt-on", "neck-through"])
def test_every_construction_can_be_weighed(construction):
    changes = {"neck.construction": construction}
    assert 3.5 < told(changes).usual_kg < 5.0
