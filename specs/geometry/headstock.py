"""The headstock in plan: where the tuner posts stand, and whether every string gets from the nut to its own post."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, asin, atan2, cos, degrees, hypot, pi, sin

from specs.derived import Derived, Point, String
from specs.document import Neck
from specs.errors import Refused
from specs.geometry.polygons import to_segment_mm

MOST_SIDEWAYS_DEG = 8.0
"""Greatest turn of a string at the nut, seen from above. **Source**: common practice."""

LEAST_CLEARANCE_MM = 2.0
"""Least air between a string and a post that is not its own. **Source**: common practice."""

POST_MM, FIRST_MM, PITCH_MM, TIP_MM = 10.0, 35.0, 44.0, 30.0
"""A bass tuner's post; nut to the first post, post to post along the neck, last post to the tip. **Source**: common
practice; measure the tuner in hand."""


@dataclass(frozen=True)
class Posts:
    """How the posts are set out, in mm: the parameters of a headstock.

    ``outward_mm`` moves a post away from the centre line, off the place where its string would run on straight.
    """

    diameter_mm: float = POST_MM
    first_mm: float = FIRST_MM
    pitch_mm: float = PITCH_MM
    outward_mm: float = 0.0


@dataclass(frozen=True)
class Post:
    """One tuner post: its string's trade number, its centre and diameter, and the side it stands on (y's sign)."""

    number: int
    centre: Point
    diameter_mm: float
    side: int


@dataclass(frozen=True)
class StringPath:
    """A string from the nut to where it meets its post, how far it turns at the nut, and the nearest other post."""

    number: int
    nut: Point
    contact: Point
    sideways_deg: float
    clearance_mm: float
    nearest: int | None
    """Trade number of the post that the clearance is to; None where there is no other."""

    @property
    def turns_too_far(self) -> bool:
        """Whether it turns more than 8 degrees sideways."""
        return self.sideways_deg > MOST_SIDEWAYS_DEG

    @property
    def passes_too_close(self) -> bool:
        """Whether it passes another post by less than 2 mm."""
        return self.clearance_mm < LEAST_CLEARANCE_MM


def sides(layout: str) -> tuple[int, int]:
    """Posts on the bass side and on the treble side of a layout such as ``3+2``; none for tuners at the bridge."""
    bass, plus, treble = layout.partition("+")
    return (int(bass), int(treble)) if plus else (0, 0)


def ordered_posts(neck: Neck) -> Posts:
    """How the order sets the posts out."""
    return Posts(pitch_mm=neck.tuner_pitch_mm, outward_mm=neck.tuner_outward_mm)


def post_places(derived: Derived, posts: Posts | None = None) -> tuple[Post, ...]:
    """The posts of the ordered layout, in the order of their strings, bass to treble; empty on a headless neck.

    Each stands where its string runs on straight past the nut and lies against the post's inner side; the outermost
    string of a side takes the post nearest the nut. Raises Refused for a layout of another number of posts.
    **Source**: common practice; the places are the program's own.
    """
    spec, posts = derived.spec, posts or ordered_posts(derived.spec.neck)
    bass, treble = (0, 0) if spec.neck.headstock == "headless" else sides(spec.neck.tuner_layout)
    if not bass + treble:
        return ()
    if bass + treble != len(derived.strings):
        raise Refused.one("neck.tuner_layout", "not-one-a-string", "choose a layout with one tuner a string")
    outer = -1 if derived.strings[0].nut[1] < 0 else 1
    on_bass = _row(derived.strings[:bass], outer, posts)
    on_treble = _row(tuple(reversed(derived.strings[bass:])), -outer, posts)
    return (*on_bass, *reversed(on_treble))


def string_paths(derived: Derived, posts: Sequence[Post]) -> tuple[StringPath, ...]:
    """Every string's way to its post, in mm and degrees, bass to treble; ``posts`` may be anybody's drawing."""
    by_number = {post.number: post for post in posts}
    return tuple(_path(string, by_number[string.number], posts) for string in derived.strings)


def headstock_length_mm(derived: Derived, posts: Sequence[Post], tip_mm: float = TIP_MM) -> float:
    """Length along the centre line from the nut's middle to the tip; 0 without posts. **Source**: common practice."""
    return tip_mm - min(post.centre[0] for post in posts) if posts else 0.0


def _row(strings: Sequence[String], side: int, posts: Posts) -> tuple[Post, ...]:
    """The posts of one side; ``strings`` from the outermost in."""
    return tuple(
        _post(string, strings[0].nut[0] - posts.first_mm - place * posts.pitch_mm, side, posts)
        for place, string in enumerate(strings)
    )


def _post(string: String, x: float, side: int, posts: Posts) -> Post:
    (x_nut, y_nut), (x_bridge, y_bridge) = string.nut, string.bridge
    slope = (y_bridge - y_nut) / (x_bridge - x_nut)
    beside_mm = (posts.diameter_mm + string.gauge_mm) / 2 * hypot(1, slope) + posts.outward_mm
    return Post(string.number, (x, y_nut + slope * (x - x_nut) + side * beside_mm), posts.diameter_mm, side)


def _path(string: String, post: Post, posts: Sequence[Post]) -> StringPath:
    contact = _contact(string, post)
    others = [(_air_mm(string, contact, other), other.number) for other in posts if other is not post]
    clearance_mm, nearest = min(others, default=(float("inf"), None))
    return StringPath(string.number, string.nut, contact, _turn_deg(string, contact), clearance_mm, nearest)


def _contact(string: String, post: Post) -> Point:
    """Where the middle of the string first lies against its post, on the side of the centre line."""
    (x, y), (x_nut, y_nut) = post.centre, string.nut
    away = hypot(x - x_nut, y - y_nut)
    radius = (post.diameter_mm + string.gauge_mm) / 2
    if away <= radius:
        raise Refused.one("neck.tuner_layout", "post-on-nut", f"the post of string {post.number} stands on the nut")
    back = atan2(y_nut - y, x_nut - x)
    turned = back - post.side * acos(radius / away)
    return x + radius * cos(turned), y + radius * sin(turned)


def _turn_deg(string: String, contact: Point) -> float:
    """Angle between the string over the board and past the nut, 0 where it runs on straight."""
    (x_nut, y_nut), (x_bridge, y_bridge) = string.nut, string.bridge
    along = x_nut - x_bridge, y_nut - y_bridge
    past = contact[0] - x_nut, contact[1] - y_nut
    cross = along[0] * past[1] - along[1] * past[0]
    turn = asin(min(1.0, abs(cross) / (hypot(*along) * hypot(*past))))
    backward = along[0] * past[0] + along[1] * past[1] < 0
    return degrees(pi - turn if backward else turn)


def _air_mm(string: String, contact: Point, other: Post) -> float:
    """Air between the string on its way and a post; negative where it runs into it."""
    to_axis_mm = to_segment_mm(other.centre, string.nut, contact)
    return to_axis_mm - (other.diameter_mm + string.gauge_mm) / 2
