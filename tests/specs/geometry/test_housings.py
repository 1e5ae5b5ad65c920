"""Shells around the coils: they hold every sensed point, lie at their angle, and mirror with the instrument."""

from math import atan2, degrees, dist

import pytest

from specs.geometry.housings import housings, routs
from tests.specs.documents import derived

EVERY = [{"strings": [1, 2, 3, 4, 5]}]
SPLIT = [{"strings": [4, 5], "offset": "9 mm"}, {"strings": [1, 2, 3], "offset": "-9 mm"}]
ROUNDING = 1e-9


def one(rows=EVERY, hand="right", **more):
    pickup = {"name": "bridge", "rows": rows, "fraction": 0.065, "angle": "aligned"} | more
    return derived({"pickups": [pickup], "hand": hand})


def holds(shell, point):
    """Whether a point lies inside, by the side it takes of every edge."""
    sides = []
    for (ax, ay), (bx, by) in zip(shell.corners, (*shell.corners[1:], shell.corners[0]), strict=True):
        sides.append((bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax))
    return all(side > 0 for side in sides) or all(side < 0 for side in sides)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("rows", [EVERY, SPLIT])
def test_a_shell_holds_what_its_rows_sense(hand, rows):
    made = one(rows, hand)
    (shell,) = housings(made)
    assert all(holds(shell, point) for row in made.pickups[0].rows for point in row.sensed)


def test_a_shell_lies_at_the_angle_of_its_pickup():
    made = one(angle=6.5)
    (ax, ay), (bx, by) = housings(made)[0].corners[:2]
    assert degrees(atan2(bx - ax, by - ay)) == pytest.approx(6.5, abs=ROUNDING)


def test_common_shells_have_their_size_and_a_rout_air_around_it():
    """Common practice: a five-string bar shell is about 102 mm by 38 mm."""
    made = one(shell="5-string soapbar")
    (shell,), (rout,) = housings(made), routs(made)
    assert (shell.length_mm, shell.width_mm) == pytest.approx((102, 38))
    assert (rout.length_mm, rout.width_mm) == pytest.approx((103, 39))
    assert dist(shell.corners[0], shell.corners[1]) == pytest.approx(102)


def test_a_split_pickup_has_a_shell_for_each_half():
    shells = housings(one(SPLIT, kind="split coil"))
    assert [shell.name for shell in shells] == ["bridge", "bridge"]
    assert dist(shells[0].middle, shells[1].middle) > 18


def test_left_is_the_mirror_image():
    right, left = housings(one())[0], housings(one(hand="left"))[0]
    assert left.corners == pytest.approx([(x, -y) for x, y in right.corners])
