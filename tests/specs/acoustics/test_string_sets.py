"""The string chooser against trying every set."""

from itertools import pairwise, product
from math import fsum
from random import Random

import pytest

from specs.acoustics.pitch import frequency_hz
from specs.acoustics.string_sets import TIE, Wire, choose, choose_strings_figure
from specs.errors import Refused
from specs.tables import load_tables

PITCHES = ["B0", "E1", "A1", "D2", "G2", "C3"]
FULL = [Wire(row.gauge_in, row.unit_weight_lb_in) for row in load_tables().strings.rows]


def tension(wire: Wire, scale_mm: float, hertz: float) -> float:
    return wire.unit_weight_lb_in * 0.45359237 / 0.0254 * (2 * scale_mm / 1000 * hertz) ** 2


def tried(scales, hertz, catalogue, targets):
    """The gauges of the best of every set that never thickens toward the treble."""
    sets = []
    for wires in product(catalogue, repeat=len(scales)):
        if any(thin.gauge_in > thick.gauge_in for thick, thin in pairwise(wires)):
            continue
        pulls = [tension(*each) for each in zip(wires, scales, hertz, strict=True)]
        mean = fsum(pulls) / len(pulls)
        shares = [pull / aim - 1 for pull, aim in zip(pulls, targets or [mean] * len(pulls), strict=True)]
        first = max(map(abs, shares)) if targets else (max(pulls) - min(pulls)) / mean
        sets.append((wires, first, fsum(share**2 for share in shares), fsum(wire.unit_weight_lb_in for wire in wires)))
    for place in (1, 2):
        least = min(each[place] for each in sets)
        sets = [each for each in sets if each[place] <= least + TIE]
    return tuple(wire.gauge_in for wire in min(sets, key=lambda each: each[3])[0])


def catalogue_of(random: Random) -> list[Wire]:
    """Up to seven wires: of any weight, in even steps so that sets tie, or as strings are."""
    rows, kind = random.randint(1, 7), random.choice(["any", "steps", "strings"])
    if kind == "steps":
        return [Wire(0.01 * step, 1e-4 * step) for step in range(1, rows + 1)]
    gauges = [gauge / 1000 for gauge in random.sample(range(10, 140), rows)]
    if kind == "any":
        return [Wire(gauge, random.uniform(1e-5, 4e-3)) for gauge in gauges]
    return [Wire(gauge, random.choice([0.19, 0.17]) * gauge**2) for gauge in gauges]


@pytest.mark.parametrize("seed", range(30))
@pytest.mark.parametrize("target", [None, 160.0])
def test_trying_every_set(seed, target):
    random = Random(seed)
    catalogue, strings = catalogue_of(random), random.randint(2, 5)
    scales = [random.choice([860, 900, random.uniform(800, 950)]) for _ in range(strings)]
    hertz = [frequency_hz(random.choice(PITCHES)) for _ in range(strings)]
    targets = [target] * strings if target else None
    assert choose(scales, hertz, catalogue, targets).gauges_in == tried(scales, hertz, catalogue, targets)


def ordinary(strings: int) -> tuple[list[float], list[float]]:
    return [939.8 - 15.2 * place for place in range(strings)], [frequency_hz(pitch) for pitch in PITCHES[:strings]]


def test_full_catalogue_without_a_target_beats_every_shift_of_an_ordinary_set():
    scales, hertz = ordinary(6)
    best = choose(scales, hertz, FULL)
    assert list(best.gauges_in) == sorted(best.gauges_in, reverse=True)
    for aim in range(60, 320, 5):
        assert best.evenness_pct <= choose(scales, hertz, FULL, [float(aim)] * 6).evenness_pct


def test_a_target_is_met_as_near_as_the_catalogue_allows():
    scales, hertz = ordinary(5)
    chosen = choose(scales, hertz, FULL, [180.0] * 5)
    nearest = [min(abs(tension(wire, *each) / 180 - 1) for wire in FULL) for each in zip(scales, hertz, strict=True)]
    assert [abs(pull / 180 - 1) for pull in chosen.tensions_n] == pytest.approx(nearest)


def test_one_target_per_string():
    scales, hertz = ordinary(3)
    wires = [wire for wire in FULL if wire.gauge_in in (0.045, 0.065, 0.1, 0.13)]
    aims = [tension(wire, *each) for wire, each in zip(wires[:0:-1], zip(scales, hertz, strict=True), strict=True)]
    assert choose(scales, hertz, wires, aims).gauges_in == (0.13, 0.1, 0.065)


def test_gauges_never_thicken_toward_the_treble_even_where_pitches_fall():
    gauges = choose([900.0] * 3, [98.0, 55.0, 31.0], FULL, [150.0] * 3).gauges_in
    assert list(gauges) == sorted(gauges, reverse=True)


ROWS = [{"gauge_in": 0.045, "unit_weight_lb_in": 0.0003724}, {"gauge_in": 0.065, "unit_weight_lb_in": 0.00079569}]
ARGUMENTS = {"scales_mm": [880, 863.6], "tuning": ["D2", "G2"], "catalogue": ROWS}


def test_figure():
    chosen = choose_strings_figure(ARGUMENTS)
    assert chosen["gauges_in"] == [0.065, 0.045]
    assert chosen["tensions_n"][1] == pytest.approx(190.532, abs=1e-3)  # 42.83 lb by the SI form
    assert choose_strings_figure({**ARGUMENTS, "target_n": [90, 190]})["gauges_in"] == [0.045, 0.045]
    assert choose_strings_figure({**ARGUMENTS, "target_n": None}) == chosen


REFUSED = {
    "nothing": ({}, ["scales_mm", "tuning", "catalogue"]),
    "lengths": ({**ARGUMENTS, "tuning": ["D2"], "target_n": [1, 2, 3]}, ["tuning", "target_n"]),
    "a pitch": ({**ARGUMENTS, "tuning": ["D2", "H2"]}, ["tuning.1"]),
    "no rows": ({**ARGUMENTS, "catalogue": []}, ["catalogue"]),
    "a row": ({**ARGUMENTS, "catalogue": [{"gauge_in": "x", "more": 1}]},
              ["catalogue.0.more", "catalogue.0.gauge_in", "catalogue.0.unit_weight_lb_in"]),
    "a target": ({**ARGUMENTS, "target_n": 0}, ["target_n"]),
    "an unknown key": ({**ARGUMENTS, "tensions": 1}, ["tensions"]),
    "no object": ([], ["document"]),
}  # fmt: skip


@pytest.mark.parametrize(("given", "fields"), REFUSED.values(), ids=REFUSED)
def test_bad_arguments_are_refused_at_their_fields(given, fields):
    with pytest.raises(Refused) as refused:
        choose_strings_figure(given)
    assert [problem.field for problem in refused.value.problems] == fields
