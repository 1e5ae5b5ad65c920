"""The string and wood tables: exact rows, estimates between rows, refusals, and the handbook's densities."""

import math

import pytest

from specs import vocabulary
from specs.tables import UnitWeight, UnknownString, load_tables

CATALOGUE = load_tables().strings


def test_every_row_says_who_and_how_sure():
    rows = [*CATALOGUE.rows, *load_tables().woods.values()]
    assert {row.confidence for row in rows} == {"high", "medium"}
    assert all(row.source for row in rows)


def test_only_two_windings_have_rows():
    assert {row.winding for row in CATALOGUE.rows} == {"nickel-plated round", "plain"}


def test_a_row_is_found_by_its_gauge_in_mm():
    found = [CATALOGUE.unit_weight(row.gauge_in * 25.4, row.winding) for row in CATALOGUE.rows]
    assert found == [UnitWeight(row.unit_weight_lb_in) for row in CATALOGUE.rows]


def test_a_gauge_a_hair_off_its_row_is_an_estimate():
    assert not CATALOGUE.unit_weight((0.1 + 9e-10) * 25.4, "nickel-plated round").estimated
    assert CATALOGUE.unit_weight((0.1 + 2e-9) * 25.4, "nickel-plated round").estimated


def test_between_rows_the_logarithms_are_linear():
    rows = CATALOGUE.of("nickel-plated round")
    low, high = rows[4], rows[5]
    middle_mm = math.sqrt(low.gauge_in * high.gauge_in) * 25.4
    estimate = CATALOGUE.unit_weight(middle_mm, "nickel-plated round")
    assert estimate.estimated
    assert estimate.lb_in == pytest.approx(math.sqrt(low.unit_weight_lb_in * high.unit_weight_lb_in), rel=1e-12)


def test_plain_steel_is_one_density():
    """The printed rows imply 0.2820 lb/in³ within 0.04 %, so an estimate between them does too."""
    gauge_in = 0.0213
    density = CATALOGUE.unit_weight(gauge_in * 25.4, "plain").lb_in / (math.pi / 4 * gauge_in**2)
    assert density == pytest.approx(0.2820, rel=6e-4)


@pytest.mark.parametrize(
    ("gauge_in", "winding", "words"),
    [
        (0.15, "nickel-plated round", ".1450 in and .1350 in"),
        (0.02, "nickel-plated round", ".0280 in and .0320 in"),
        (0.03, "plain", ".0260 in and .0240 in"),
        (0.1, "flat", "unit_weights"),
        (0.1, "tape", "unit_weights"),
        (0.1, "stainless round", "unit_weights"),
    ],
)
def test_outside_the_rows_the_remedy_is_named(gauge_in, winding, words):
    with pytest.raises(UnknownString, match=words):
        CATALOGUE.unit_weight(gauge_in * 25.4, winding)


def test_unit_weight_in_si_uses_the_exact_pound_and_inch():
    assert UnitWeight(0.0003724).kg_m == pytest.approx(0.0003724 * 17.857967322834646, rel=1e-14)


HANDBOOK_KG_M3 = {
    "hard maple": 706,
    "alder": 459,
    "ash": 672,
    "walnut": 616,
    "basswood": 414,
    "cedar": 358,
    "korina": 455,
}
ROUNDING_KG_M3 = 0.6


@pytest.mark.parametrize(("word", "density_kg_m3"), HANDBOOK_KG_M3.items())
def test_density_is_the_handbooks(word, density_kg_m3):
    """Wood Handbook FPL-GTR-282 (2021), Tables 5-3b and 5-5b: density = 1.12 x SG12 x 1000."""
    assert load_tables().woods[word].density_kg_m3 == pytest.approx(density_kg_m3, abs=ROUNDING_KG_M3)


def test_every_wood_is_a_word_a_customer_can_choose():
    choices = {*vocabulary.BODY_WOODS, *vocabulary.BOARD_WOODS, *vocabulary.NECK_WOODS, *vocabulary.TOP_WOODS}
    assert set(load_tables().woods) <= choices


def test_versions_name_the_files():
    versions = load_tables().versions
    assert set(versions) == {"strings", "woods"}
    assert all(len(version) == 12 and int(version, 16) for version in versions.values())
