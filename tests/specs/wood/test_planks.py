"""Planks weighed by hand: their density counts for their wood alone, leaves no spread, and decides on a ceiling."""

from __future__ import annotations

import pytest

from specs.errors import Refused
from specs.facts import OrderFacts
from specs.numbers import headlines
from specs.rules import check, reweighed
from specs.wood.density import density_kg_m3
from specs.wood.mass import LIKELY_OVER, LIKELY_UNDER, OVER, UNDER, Forecast, forecast
from specs.wood.parts import hang, wooden_parts
from specs.wood.planks import Plank, measured_kg_m3, plank_woods, planks_of
from tests.specs.documents import derived

HEAVY_KG_M3 = 620.0
"""Red alder is listed at 459 kg/m³; a plank a third heavier is a bad board, not an impossible one."""


def kept_under(kg: float, planks: tuple[Plank, ...] = ()) -> list[str]:
    made = derived({"body.weight_ceiling_kg": kg})
    return [one.rule for one in check(made, OrderFacts(planks=planks)) if one.rule == "over-weight-ceiling"]


def test_the_difference_of_a_weighed_body_is_its_litres_by_the_difference_of_density():
    made = derived()
    (body,) = [part for part in wooden_parts(made) if part.plank == "body"]
    heavier = forecast(made, {"body": HEAVY_KG_M3}).usual_kg - forecast(made).usual_kg
    assert heavier == pytest.approx(body.litres * (HEAVY_KG_M3 - density_kg_m3("alder")) / 1000)
    assert (hang(made).weighed, hang(made, {"body": HEAVY_KG_M3}).weighed) == ((), ("body",))


def test_a_heavy_plank_goes_over_the_ceiling_its_species_keeps():
    ceiling = forecast(derived()).usual_kg + 0.2
    assert kept_under(ceiling) == []
    assert kept_under(ceiling, (Plank("body", "alder", HEAVY_KG_M3),)) == ["over-weight-ceiling"]


def test_another_wood_is_another_plank():
    ceiling = forecast(derived()).usual_kg + 0.2
    assert kept_under(ceiling, (Plank("body", "ash", HEAVY_KG_M3),)) == []
    spec = derived().spec
    planks = planks_of(spec, {"body": 450.0, "neck": 700.0})
    assert measured_kg_m3(spec, planks) == {"body": 450.0, "neck": 700.0}
    assert measured_kg_m3(derived({"body.wood": "ash"}).spec, planks) == {"neck": 700.0}


def test_every_wooden_part_is_of_a_plank_that_can_be_weighed():
    made = derived({"body.top": "flat", "body.top_wood": "walnut", "body.top_thickness": "6 mm"})
    assert {part.plank: part.wood for part in wooden_parts(made)} == plank_woods(made.spec)


def test_a_release_is_weighed_anew_and_keeps_its_other_findings():
    made = derived({"body.weight_ceiling_kg": forecast(derived()).usual_kg + 0.2, "strings.winding_length": 900})
    stored = check(made, OrderFacts())
    heavy, light = (OrderFacts(planks=(Plank("body", "alder", kg_m3),)) for kg_m3 in (HEAVY_KG_M3, 400.0))
    assert reweighed(stored, made, OrderFacts()) == stored
    assert reweighed(stored, made, heavy) == check(made, heavy) != stored
    assert reweighed(check(made, heavy), made, light) == check(made, light)


@pytest.mark.parametrize(
    ("ceiling_kg", "said"), [(5.0, UNDER), (4.0, LIKELY_UNDER), (3.6, LIKELY_OVER), (3.0, OVER), (4.5, UNDER)]
)
def test_a_ceiling_is_told_with_what_the_parts_leave_open(ceiling_kg, said):
    assert Forecast(low_kg=3.5, usual_kg=3.9, high_kg=4.5, body_kg=2.0).against(ceiling_kg) == said


def test_a_headline_says_the_ceiling_by_the_weighed_plank():
    made = derived({"body.weight_ceiling_kg": forecast(derived()).usual_kg})
    listed, heavy = headlines(made), headlines(made, densities={"body": 900.0, "neck": 900.0})
    assert ("ceiling", LIKELY_UNDER) in [(figure.key, figure.value) for _, figure in listed]
    assert ("ceiling", OVER) in [(figure.key, figure.value) for _, figure in heavy]


def test_what_cannot_be_drawn_is_refused_every_time():
    undrawn = derived({"neck.tuner_layout": "2+2"})
    for _ in range(2):
        with pytest.raises(Refused):
            hang(undrawn)
