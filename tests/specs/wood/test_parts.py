"""The parts of an instrument worked by hand, and how they hang: centre of mass, strap buttons, range of doubt."""

from itertools import product
from math import fsum

import pytest
from shapely.geometry import LineString, Polygon

from specs.geometry.body import body_outline
from specs.vocabulary import BOARD_WOODS, BODY_WOODS, NECK_WOODS, TOP_WOODS
from specs.wood.balance import Part, balance
from specs.wood.density import densities_kg_m3, density_kg_m3
from specs.wood.parts import Weighed, balance_range_mm, hang, masses_kg, strap_buttons, wooden_parts
from tests.specs.documents import FOUR_STRING, SIX_STRING, derived

INCH, POUND = 0.0254, 0.45359237


def part(name, changes=None):
    (found,) = [part for part in hang(derived(changes)).parts if part.name.startswith(name)]
    return found


def test_a_fingerboard_by_hand():
    """A trapezium 684 mm long times 6.5 mm, at 1120 x 0.790 kg/m3 (Indian rosewood, Wood Handbook)."""
    board = derived().board
    area_m2 = board.length_mm * (board.width_nut_mm + board.width_end_mm) / 2 / 1e6
    told = part("fingerboard")
    assert told.usual_kg == pytest.approx(area_m2 * 0.0065 * 1120 * 0.790, rel=0.02)
    assert (told.low_kg, told.high_kg) == pytest.approx((0.85 * told.usual_kg, 1.15 * told.usual_kg))
    assert board.length_mm / 2 < told.x_mm < board.length_mm * 0.56


def test_a_string_by_hand():
    """The low B of the string maker's chart weighs .00301941 lb an inch, over 939.8 + 30 + 30 mm."""
    told = part("string 5")
    assert told.usual_kg == pytest.approx(0.00301941 * POUND / INCH * (0.9398 + 0.060))
    low_b = derived().strings[0]
    assert told.x_mm == pytest.approx((low_b.nut[0] + low_b.bridge[0]) / 2)


def test_tuners_by_hand():
    """Five of 50 g (common practice, 45 to 55), at the mean of five posts 35 mm and 44 mm apart: 3 bass, 2 treble."""
    told, strings = part("tuners"), derived().strings
    bass, treble = strings[0].nut[0] - 35, strings[-1].nut[0] - 35
    assert (told.low_kg, told.usual_kg, told.high_kg) == pytest.approx((0.225, 0.25, 0.275))
    assert told.x_mm == pytest.approx((3 * bass - 3 * 44 + 2 * treble - 44) / 5)


def test_the_body_is_its_outline_less_what_is_cut_out():
    """Measured by shapely; edges, carves and cavities take under an eighth."""
    instrument = derived()
    (body,) = [wood for wood in wooden_parts(instrument) if wood.name == "body"]
    outline = Polygon(body_outline(instrument).polygon(64))
    assert 0.875 < body.litres / (outline.area * 42 / 1e6) < 1
    assert body.x_mm == pytest.approx(outline.centroid.x, abs=15)


def test_the_whole_is_the_sum_of_its_moments():
    taken = hang(derived())
    mass_kg = fsum(part.usual_kg for part in taken.parts)
    assert taken.usual.mass_kg == pytest.approx(mass_kg)
    assert taken.usual.x_mm == pytest.approx(fsum(part.usual_kg * part.x_mm for part in taken.parts) / mass_kg)
    assert taken.usual.drops == "level"


def test_a_heavier_headstock_moves_the_balance_point_toward_the_nut():
    light, heavy = (hang(derived({"hardware.tuners": tuners})) for tuners in ("ultralight", "standard"))
    added = 5 * (0.078 - 0.050)
    tuners = part("tuners").x_mm
    moments = light.usual.mass_kg * light.usual.x_mm + added * tuners
    assert heavy.usual.x_mm == pytest.approx(moments / (light.usual.mass_kg + added))
    assert heavy.usual.x_mm < light.usual.x_mm - 20


@pytest.mark.parametrize("changes", [FOUR_STRING, {}, SIX_STRING, {"hand": "left"}])
def test_strap_buttons_stand_on_the_outline(changes):
    instrument = derived(changes)
    outline = Polygon(body_outline(instrument).polygon()).exterior
    horn, tail = strap_buttons(instrument)
    assert horn[0] == pytest.approx(outline.bounds[0])
    assert horn[1] * instrument.strings[0].nut[1] > 0
    middle = outline.intersection(LineString([(0, 0), (2000, 0)]))
    assert tail == pytest.approx((middle.bounds[2], 0))


THREE = (Weighed("head", 0.4, 0.5, 0.7, -80), Weighed("neck", 0.8, 1.0, 1.1, 300), Weighed("body", 1.9, 2.4, 2.6, 800))


def test_the_range_is_that_of_every_corner():
    """Against exhaustive search over the corners of the box of masses."""
    corners = product(*((part.low_kg, part.high_kg) for part in THREE))
    points = [
        balance([Part(part.name, kg, part.x_mm) for part, kg in zip(THREE, masses, strict=True)], 0, 0).x_mm
        for masses in corners
    ]
    assert balance_range_mm(THREE) == pytest.approx((min(points), max(points)))


def test_the_usual_lies_inside_the_range():
    taken = hang(derived())
    assert taken.x_mm[0] < taken.usual.x_mm < taken.x_mm[1]
    assert taken.mass_kg[0] < taken.usual.mass_kg < taken.mass_kg[1]


def test_both_hands_hang_alike():
    right, left = (hang(derived({"hand": hand})) for hand in ("right", "left"))
    assert left.usual.x_mm == pytest.approx(right.usual.x_mm)
    assert left.usual.mass_kg == pytest.approx(right.usual.mass_kg)


def test_every_wood_of_the_lists_has_a_density():
    woods = {*BODY_WOODS, *BOARD_WOODS, *TOP_WOODS, *(wood for pair in NECK_WOODS for wood in pair.split(" and "))}
    assert woods - {"none"} - set(densities_kg_m3()) == set()


def test_a_laminate_is_the_mean_of_its_woods():
    assert density_kg_m3("maple and wenge") == pytest.approx(1120 * (0.63 + 0.777) / 2)


def test_every_part_is_weighed_low_to_high():
    assert [name for name, (low, usual, high) in masses_kg().items() if not 0 < low <= usual <= high] == []
