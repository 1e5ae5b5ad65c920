"""The mass forecast, worked by hand; masses of solid bodies and parts: common practice, woods from memory."""

from dataclasses import astuple

import pytest

from specs.wood.mass import SOURCE, forecast
from tests.specs.documents import FOUR_STRING, SIX_STRING, derived


def told(changes=None):
    return forecast(derived(changes).spec)


def test_an_alder_five_string_by_hand():
    expected = (1.7 + 0.9 + 0.9 + 0.04, 2.0 + 1.1 + 1.15 + 0.08, 2.3 + 1.3 + 1.4 + 0.15, 2.0, SOURCE)
    assert astuple(told()) == pytest.approx(expected)


@pytest.mark.parametrize(("changes", "low", "high"), [(FOUR_STRING, 3.4, 4.1), ({}, 3.7, 4.4), (SIX_STRING, 3.9, 4.7)])
def test_an_ordinary_body_reaches_the_usual_target(changes, low, high):
    """Common practice: 4 strings 3.4-4.1 kg, 5 strings 3.7-4.4, 6 strings 3.9-4.7."""
    assert low <= told(changes).usual_kg <= high


def test_a_solid_maple_five_string_passes_5_kg():
    assert told({"body.wood": "maple"}).usual_kg > 5.0


@pytest.mark.parametrize("wood", ["paulownia", "alder", "maple"])
def test_chambering_saves_a_quarter_to_two_thirds_of_a_kilogram(wood):
    """Common practice: 0.9 litre saves 0.25 to 0.65 kg."""
    saved = told({"body.wood": wood}).usual_kg - told({"body.wood": wood, "body.chambering": "chambered"}).usual_kg
    assert 0.24 < saved < 0.65


def test_a_thinner_body_and_one_battery_less_are_lighter():
    assert told({"body.thickness": 38}).body_kg == pytest.approx(2.0 * 38 / 42)
    assert told({"electronics.supply": "18 V"}).usual_kg - told().usual_kg == pytest.approx(0.09)
