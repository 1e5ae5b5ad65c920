"""Places at the bench in words, against the computed instrument."""

from __future__ import annotations

from math import cos, radians

import pytest

from routing.catalogue import KEY_FIGURES, operation
from shop.floor import placing
from shop.floor.figures import LABELS, OF_SADDLES, SAID, figures
from specs.derive import derive
from specs.geometry.headstock import Posts, post_places, string_paths
from specs.parsing import parse
from specs.starters import starter
from specs.tables import load_tables
from specs.units import millimetres
from tests.specs.documents import derived


@pytest.fixture(scope="module")
def made():
    return derive(parse(starter(5)), load_tables())


def said(name, made, units="mm"):
    return [figure.value for figure in figures(operation(name), made, units)]


def test_every_key_figure_has_a_label_and_words():
    assert set(KEY_FIGURES) - {"hand"} == {*LABELS, *OF_SADDLES} == {*SAID, *OF_SADDLES}


def test_the_nut_is_said_square_and_along_its_slant(made):
    """Plane geometry: the slanted length of a nut between parallel edges is its square width over the cosine."""
    square, slanted = placing.nut_width(made, lambda mm: f"{mm:.6f}").split(" · ")
    assert float(square) == pytest.approx(made.board.width_nut_mm, abs=1e-6)
    assert float(slanted) == pytest.approx(float(square) / cos(radians(made.nut_angle_deg)), rel=1e-3)
    level = derived({"scale.treble": "37 in"})
    assert placing.nut_width(level, millimetres) == millimetres(level.board.width_nut_mm)


def test_a_pickups_place_is_its_middle_and_its_angle_in_words(made):
    words = said("Body machining (outline, neck pocket, cavities)", made)[-1]
    assert words.startswith(f"neck: {millimetres(made.pickups[0].centre_mm)}, ")
    assert "treble end toward the nut" in words
    assert placing.pickup_place(derived(), millimetres, str) == "–"


def test_slots_say_both_depths(made):
    """Common practice: a 1.5 mm tang and 0.4 mm of air; before the radius the wood to come off on top."""
    words = placing.slot_depth(made, millimetres)
    assert words.startswith("cut after the radius 1.9 mm; before it 2.")
    assert words.endswith("0.3 mm to come off")
    assert placing.slot_depth(derived({"fingerboard.frets_kind": "unlined fretless"}), millimetres) == "no slots"


def test_a_strings_way_is_straight_or_names_the_worst(made):
    assert said("Tuner holes and string-path check", made)[-1].startswith("all straight past the nut; string ")
    paths = string_paths(made, post_places(made, Posts(outward_mm=5)))
    worst = max(paths, key=lambda path: path.sideways_deg)
    words = placing.paths_said(paths, millimetres)
    assert words.startswith(f"string {worst.number} turns most, {worst.sideways_deg:.1f}°; string ")
    assert "no posts" in placing.string_path(derived({"neck.headstock": "headless"}), millimetres)
