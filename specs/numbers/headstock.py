"""Figures of the headstock: where the posts stand and how each string gets to its own."""

from __future__ import annotations

from collections.abc import Iterator

from specs.derived import Derived
from specs.errors import Refused
from specs.geometry.headstock import (
    LEAST_CLEARANCE_MM,
    MOST_SIDEWAYS_DEG,
    Post,
    StringPath,
    headstock_length_mm,
    post_places,
    string_paths,
)
from specs.numbers.figure import (
    AT_LEAST,
    AT_MOST,
    GEOMETRY,
    PRACTICE,
    Column,
    Figure,
    Group,
    Limit,
    Place,
    Table,
    finite,
)

SOURCE = f"{GEOMETRY}; limit common practice"
NOTE = "Posts stand where the order sets them; measure the tuner in hand before drilling."


def headstock(derived: Derived) -> Group:
    """The group of the headstock. Raises Refused where there are no posts, or one stands on the nut."""
    posts = post_places(derived)
    if not posts:
        raise Refused.one("neck.headstock", "headless", "a headless neck is tuned at the bridge: it has no posts")
    paths = string_paths(derived, posts)
    return Group(
        "headstock", "Headstock", tuple(_figures(derived, posts, paths)), (_table(posts, paths, derived),), NOTE
    )


def _figures(derived: Derived, posts: tuple[Post, ...], paths: tuple[StringPath, ...]) -> Iterator[Figure]:
    layout, how = derived.spec.neck.tuner_layout, "bass side + treble side, as ordered"
    yield Figure("layout", "Tuners", layout, "", how, "the order")
    how = "along the centre line from the nut's middle to the tip, 30 mm past the last post"
    yield Figure("length_mm", "Headstock length", headstock_length_mm(derived, posts), "mm", how, PRACTICE)
    turn = max(paths, key=lambda path: path.sideways_deg)
    how = "between the string over the board and the same string past the nut, seen from above"
    yield Figure("turn_deg", "Greatest sideways turn", turn.sideways_deg, "°", how, SOURCE,
                 Place("string", turn.number), Limit(AT_MOST, MOST_SIDEWAYS_DEG))  # fmt: skip
    near = min(paths, key=lambda path: path.clearance_mm)
    how = "air between a string and the nearest post that is not its own"
    yield Figure("clearance_mm", "Least clearance at a post", finite(near.clearance_mm), "mm", how,
                 SOURCE, Place("string", near.number),
                 Limit(AT_LEAST, LEAST_CLEARANCE_MM))  # fmt: skip


def _table(posts: tuple[Post, ...], paths: tuple[StringPath, ...], derived: Derived) -> Table:
    columns = (
        Column("String"), Column("Pitch"), Column("Post, along", "mm"), Column("Post, across", "mm"),
        Column("Turn", "°"), Column("Clearance", "mm"), Column("to the post of string"),
    )  # fmt: skip
    rows = zip(derived.strings, posts, paths, strict=True)
    return Table("posts", "Posts and paths, string by string", columns, tuple(
        (string.number, string.pitch, *post.centre, path.sideways_deg, finite(path.clearance_mm), path.nearest)
        for string, post, path in reversed(tuple(rows))
    ))  # fmt: skip
