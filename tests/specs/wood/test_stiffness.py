"""How stiff neck woods are, against the handbook's column in pounds per square inch."""

from __future__ import annotations

import pytest

from specs.vocabulary import NECK_WOODS
from specs.wood.stiffness import stiffness

PSI_MPA = 0.006894757
ROUNDED_MPA = 50.0
"""The metric column is rounded to hundreds."""

MILLION_PSI = {"hard maple": 1.83, "walnut": 1.68, "mahogany": 1.50}
"""USDA FPL, Wood Handbook FPL-GTR-282 (2021): Table 5-3b, mahogany Table 5-5b."""


@pytest.mark.parametrize(("wood", "million_psi"), MILLION_PSI.items())
def test_the_modulus_is_the_handbooks(wood, million_psi):
    assert stiffness(wood).moe_mpa == pytest.approx(million_psi * 1e6 * PSI_MPA, abs=ROUNDED_MPA)


def test_a_laminate_is_the_mean_of_its_woods_and_names_both_sources():
    found = stiffness("maple and walnut")
    assert found.moe_mpa == pytest.approx((12600 + 11600) / 2)
    assert (found.source.count("1.83"), found.source.count("1.68")) == (1, 1)


def test_only_roasted_maple_has_no_published_value_among_neck_woods():
    assert [wood for wood in NECK_WOODS if stiffness(wood) is None] == ["roasted maple"]
