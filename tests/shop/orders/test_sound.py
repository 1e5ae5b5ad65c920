"""An order's sound: curves against plain wave theory, resonance against the textbook, the page's words and refusals."""

from __future__ import annotations

from math import pi, sin, sqrt

import pytest
from django.urls import reverse

from shop.orders.sound import Coil, curves, heard, resonance, spread_of
from tests.specs.documents import derived

EVERY = [{"strings": [1, 2, 3, 4, 5]}]
PICKUPS = [
    {"name": "neck", "rows": EVERY, "fraction": 0.25, "angle": "aligned"},
    {"name": "bridge", "rows": EVERY, "fraction": 0.0625, "angle": "aligned"},
]


@pytest.fixture(scope="module")
def made():
    return derived({"pickups": PICKUPS, "nut.spacing": "equal-centres"})


def levels(made, *mix, **more):
    return heard(made, mix, **more)[0].levels


def test_one_pickup_is_the_sine_of_its_place(made):
    """Plain wave theory: |sin nπq|."""
    assert levels(made, "in phase", "off")[:4] == pytest.approx([sin(pi / 4), 1, sin(pi / 4), 0], abs=1e-9)


def test_out_of_phase_takes_away_what_both_hear(made):
    together, against = levels(made, "in phase", "in phase"), levels(made, "in phase", "out of phase")
    assert together[0] == pytest.approx(sin(pi / 4) + sin(pi / 16))
    assert against[0] == pytest.approx(sin(pi / 4) - sin(pi / 16))


def test_an_octave_up_the_place_counts_double(made):
    assert levels(made, "off", "in phase", fret=12)[0] == pytest.approx(sin(pi / 8))


def test_a_pickup_behind_the_fretted_note_is_silent_and_told():
    far = derived({"pickups": [PICKUPS[0] | {"fraction": 0.3}]})
    string = heard(far, ("in phase",), fret=24)[0]
    assert (string.silent, max(string.levels)) == (("neck",), 0)


def test_aligned_pickups_under_proportional_strings_sound_alike(made):
    strings = heard(made, ("in phase", "in phase"))
    assert spread_of(strings) == pytest.approx(0, abs=1e-9)
    assert curves(strings)[0].name == "1 · G2"


def test_resonance_of_a_coil_with_its_cable():
    """Textbook: f0 = 1/(2π·sqrt(LC)); without winding resistance Q = R·sqrt(C/L)."""
    found = resonance(Coil(4.0, 100.0, 500.0, 0.0, (500.0, 500.0), 1000.0))
    assert found.resonance_hz == pytest.approx(1 / (2 * pi * sqrt(4 * 600e-12)))
    assert (found.load_kohm, found.q) == pytest.approx((200, 200e3 * sqrt(600e-12 / 4)))


def page(client, order, **asked):
    return client.get(reverse("orders:sound", args=[order.number]), asked)


def test_the_page_draws_and_tabulates(draft, client_of, bench):
    text = page(client_of(bench), draft, pluck="0.2", fret="5", mix1="out of phase").content.decode()
    assert text.count("<polyline") == 25
    for said in ("Table of the harmonics", "Resonance", "common practice, no source", "String 5"):
        assert said in text


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"fret": "25"}, "less than or equal to 24"),
        ({"pluck": "nan"}, "Enter a number."),
        ({"mix0": "sideways"}, "not one of the available choices"),
        ({"pots_kohm": "500, none"}, "Enter a number."),
        ({"pots_kohm": "1 2 3 4 5 6 7"}, "at most 6 numbers"),
        ({"inductance_h": "0"}, "greater than or equal to 0.01"),
    ],
)
def test_what_cannot_be_asked_is_told_at_its_field(asked, said, draft, client_of, bench):
    response = page(client_of(bench), draft, **asked)
    assert response.status_code == 400
    assert said in response.content.decode()


def test_a_draft_that_is_no_instrument_says_why(draft, client_of, bench):
    draft.spec.entered["scale"]["bass"] = "36"
    draft.spec.save()
    response = page(client_of(bench), draft)
    assert (response.status_code, "add a unit" in response.content.decode()) == (409, True)
