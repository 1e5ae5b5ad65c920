"""Tuner posts and the way of the strings to them: measured by a geometry library, judged by the bench's two rules."""

from dataclasses import replace
from math import hypot

import pytest
from shapely.geometry import LineString, Point

from specs.errors import Refused
from specs.geometry.headstock import Posts, headstock_length_mm, post_places, sides, string_paths
from specs.vocabulary import TUNER_LAYOUTS
from tests.specs.documents import FOUR_STRING, SIX_STRING, derived

SAME_MM = 1e-9
INSTRUMENTS = {4: FOUR_STRING, 5: {}, 6: SIX_STRING}
LAYOUTS = [layout for layout in TUNER_LAYOUTS if "+" in layout]


def instrument(layout, **changes):
    return derived(INSTRUMENTS[sum(sides(layout))] | {"neck.tuner_layout": layout} | changes)


def paths(computed, **posts):
    return string_paths(computed, post_places(computed, Posts(**posts)))


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("hand", ["right", "left"])
def test_every_layout_keeps_both_rules_of_the_bench(layout, hand):
    """Common practice, no source: 2 mm to other posts, no more than 8 degrees sideways."""
    for path in paths(instrument(layout, hand=hand)):
        assert not path.turns_too_far
        assert not path.passes_too_close


@pytest.mark.parametrize("layout", LAYOUTS)
def test_strings_run_on_straight_and_touch_their_post(layout):
    """The path's end lies half a post and half a string from the post's centre, and the line is tangent: shapely."""
    computed = instrument(layout)
    posts = post_places(computed)
    for string, post, path in zip(computed.strings, posts, string_paths(computed, posts), strict=True):
        radius = (post.diameter_mm + string.gauge_mm) / 2
        line = LineString([path.nut, path.contact])
        assert path.sideways_deg == pytest.approx(0, abs=1e-6)
        assert Point(post.centre).distance(line) == pytest.approx(radius, abs=SAME_MM)
        assert Point(post.centre).distance(Point(path.contact)) == pytest.approx(radius, abs=SAME_MM)


@pytest.mark.parametrize("layout", LAYOUTS)
def test_clearance_is_what_shapely_measures(layout):
    computed = instrument(layout)
    posts = post_places(computed, Posts(outward_mm=7))
    for string, path in zip(computed.strings, string_paths(computed, posts), strict=True):
        thick = LineString([path.nut, path.contact])
        air = {
            post.number: Point(post.centre).distance(thick) - post.diameter_mm / 2 - string.gauge_mm / 2
            for post in posts if post.number != path.number
        }  # fmt: skip
        assert path.clearance_mm == pytest.approx(min(air.values()), abs=SAME_MM)
        assert air[path.nearest] == min(air.values())


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("hand", ["right", "left"])
def test_as_many_posts_on_each_side_as_the_layout_says(layout, hand):
    computed = instrument(layout, hand=hand)
    bass, treble = sides(layout)
    outer = -1 if hand == "right" else 1
    assert [post.side for post in post_places(computed)] == [outer] * bass + [-outer] * treble
    assert [post.number for post in post_places(computed)] == [string.number for string in computed.strings]


def test_left_handed_is_the_mirror_image():
    right, left = (post_places(derived({"hand": hand})) for hand in ("right", "left"))
    mirrored = [(post.number, (x, -y)) for post, (x, y) in ((post, post.centre) for post in left)]
    assert mirrored == [(post.number, pytest.approx(post.centre)) for post in right]


def test_a_post_far_outside_turns_the_string_too_far():
    turns = [path.sideways_deg for path in paths(derived(), outward_mm=15)]
    assert turns[0] > 8 > turns[2]
    assert paths(derived(), outward_mm=15)[0].turns_too_far


def test_the_turn_is_the_angle_between_the_two_straights():
    """Worked from the law of cosines on nut, bridge and contact."""
    computed = derived()
    for string, path in zip(computed.strings, paths(computed, outward_mm=12), strict=True):
        back = [a - b for a, b in zip(string.nut, string.bridge, strict=True)]
        on = [a - b for a, b in zip(path.contact, path.nut, strict=True)]
        across = abs(back[0] * on[1] - back[1] * on[0]) / hypot(*back) / hypot(*on)
        assert path.sideways_deg == pytest.approx(across * 57.29577951308232, rel=0.02)


def test_a_post_in_the_way_is_named():
    computed = derived()
    posts = list(post_places(computed))
    in_the_way = computed.strings[1].nut
    posts[0] = replace(posts[0], centre=(in_the_way[0] - 40, in_the_way[1]))
    hit = string_paths(computed, posts)[1]
    assert (hit.nearest, hit.passes_too_close) == (5, True)
    assert hit.clearance_mm < 0


def test_six_in_line_makes_a_long_headstock():
    """Common practice, no source: six in line 280 mm and more."""
    lengths = {
        layout: headstock_length_mm(found, post_places(found))
        for layout, found in ((layout, instrument(layout)) for layout in ("6+0", "4+2", "3+3"))
    }
    assert lengths["6+0"] > 280 > lengths["4+2"] > lengths["3+3"]


def test_a_headless_neck_has_no_posts():
    computed = derived({"neck.headstock": "headless"})
    assert post_places(computed) == ()
    assert headstock_length_mm(computed, ()) == 0
    assert sides("at the bridge") == (0, 0)


def test_a_layout_for_another_number_of_strings_is_refused():
    with pytest.raises(Refused) as refusal:
        post_places(derived({"neck.tuner_layout": "2+2"}))
    assert [problem.field for problem in refusal.value.problems] == ["neck.tuner_layout"]


def test_a_post_on_the_nut_is_refused():
    computed = derived()
    first, *others = post_places(computed)
    with pytest.raises(Refused) as refusal:
        string_paths(computed, [replace(first, centre=computed.strings[0].nut), *others])
    assert [problem.code for problem in refusal.value.problems] == ["post-on-nut"]
