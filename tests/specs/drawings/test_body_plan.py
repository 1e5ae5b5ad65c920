"""The instrument and its headstock from above: y up, mirrored for the left hand, what breaks a limit marked."""

from xml.etree import ElementTree

import pytest

from specs.drawings.body_plan import body_drawing
from specs.drawings.headstock_plan import headstock_drawing
from specs.errors import Refused
from specs.geometry.body import body_outline
from specs.geometry.headstock import post_places
from specs.wood.parts import hang
from tests.specs.documents import derived

SVG = "{http://www.w3.org/2000/svg}"
WRITTEN_MM = 1e-6
CHAMBERED = {"body.chambering": "chambered", "body.top": "flat", "body.top_wood": "walnut"}


def read(drawing):
    return ElementTree.fromstring(drawing)


def points(element):
    """Corners as drawn, y turned up again."""
    return [(float(x), -float(y)) for x, y in (pair.split(",") for pair in element.get("points").split())]


def body_of(made):
    return next(one for one in read(body_drawing(made)).iter(f"{SVG}polygon") if one.get("data-part") == "body")


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_body_lies_where_it_was_computed(hand):
    made = derived({"hand": hand})
    assert points(body_of(made)) == [pytest.approx(point, abs=WRITTEN_MM) for point in body_outline(made).polygon()]


def test_the_longer_horn_is_at_the_bottom_of_a_right_handed_body_and_at_the_top_of_a_left_handed_one():
    right, left = (min(points(body_of(derived({"hand": hand})))) for hand in ("right", "left"))
    assert right[1] < 0 < left[1]
    assert right == pytest.approx((left[0], -left[1]), abs=WRITTEN_MM)


def test_the_balance_point_is_ringed_and_told():
    made = derived()
    svg, x = read(body_drawing(made)), hang(made).usual.x_mm
    ring = next(one for one in svg.iter(f"{SVG}circle") if one.get("data-part") == "balance")
    assert (float(ring.get("cx")), float(ring.get("cy"))) == pytest.approx((x, 0), abs=WRITTEN_MM)
    assert f"balance point {x:.0f} mm" in [text.text for text in svg.iter(f"{SVG}text")]
    assert f"{x:.0f} mm, hangs level." in svg.findtext(f"{SVG}desc")


def test_chambers_are_dashed_and_a_solid_body_has_none():
    def dashed(made):
        return [one.get("data-chamber") for one in read(body_drawing(made)).iter(f"{SVG}polygon")
                if one.get("stroke-dasharray") == "12 3"]  # fmt: skip

    assert dashed(derived(CHAMBERED)) == ["bass side", "treble side"]
    assert dashed(derived()) == []


def test_a_layout_that_serves_no_string_leaves_out_posts_and_balance():
    svg = read(body_drawing(derived({"neck.tuner_layout": "2+2"})))
    assert not [one for one in svg.iter(f"{SVG}circle") if one.get("data-part") == "balance" or one.get("data-post")]


def test_a_body_that_cannot_be_drawn_is_refused():
    with pytest.raises(Refused):
        body_drawing(derived({"fingerboard.frets": 8, "neck.pocket": 150}))


@pytest.mark.parametrize("hand", ["right", "left"])
def test_posts_stand_where_they_were_computed(hand):
    made = derived({"hand": hand})
    drawn = {
        int(one.get("data-post")): (float(one.get("cx")), -float(one.get("cy")))
        for one in read(headstock_drawing(made)).iter(f"{SVG}circle")
        if one.get("data-post")
    }
    assert drawn == {post.number: pytest.approx(post.centre, abs=WRITTEN_MM) for post in post_places(made)}
    assert (drawn[5][1] < 0) == (hand == "right")


def test_a_string_that_turns_too_far_is_marked_and_told():
    svg = read(headstock_drawing(derived({"neck.tuner_outward": "15 mm"})))
    assert "▲ 1" in [text.text for text in svg.iter(f"{SVG}text")]
    assert "Out of limits: string" in svg.findtext(f"{SVG}desc")
    straight = read(headstock_drawing(derived()))
    assert "Every string within its limits." in straight.findtext(f"{SVG}desc")
    assert not [line for line in straight.iter(f"{SVG}line") if line.get("data-straight")]


def test_a_headless_neck_has_no_headstock_to_draw():
    assert headstock_drawing(derived({"neck.headstock": "headless"})) == ""
