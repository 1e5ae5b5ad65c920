"""Rules of a chambered body: the skins its carves leave, solid wood round every screw, and the battery box."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from specs.derived import Point
from specs.errors import Refused
from specs.geometry.body import frame
from specs.geometry.chambers import COVER_MM, Chamber, carved_skins_mm, chambers
from specs.geometry.neck_bolts import bolt_holes
from specs.geometry.polygons import Polygon, gap_mm, holds
from specs.rules.ordered import Ordered
from specs.rules.rule import ERROR, WARNING, Answer, At, rule, under
from specs.wood.parts import strap_buttons

LEAST_SKIN_MM = {"face": 3.5, "back": 4.0}
THIN_SKIN_MM = {"face": 5.0, "back": 6.0, "cover": COVER_MM}
FIELDS = {"face": "body.top_thickness", "back": "body.belly", "cover": "body.belly"}
SOLID_MM, WALL_MM = 25.0, 5.0
BOX_MM = (56.0, 34.0)
"""A battery box along and across. **Source**: common practice; measure the box."""

BOX_AT = {"beside the controls": (2.4, 0.3, 0.0), "bass side of the bridge": (2.3, -0.6, 0.0)}
"""Where a box goes, in the body's frame. The program's own."""

FINE = 8


@rule("chamber-skin-too-thin", ERROR, "body.chambering",
      "A carve leaves a skin of {figure} at a chamber; under 3.5 mm at the top or 4 mm at the back it collapses under "
      "a thumb. Take a thicker top or body, or leave that carve out.",
      source="computed from the drawing; threshold common practice", unit="mm")  # fmt: skip
def chamber_skin_too_thin(order: Ordered) -> Answer:
    return next(_thinner(order, LEAST_SKIN_MM), None)


@rule("chamber-skin-thin", WARNING, "body.chambering",
      "A skin of {figure} at a chamber needs care at carving and buffing: tell the bench. 5 mm at the top and 6 mm at "
      "the back are usual; a back cover must follow its carve, or move out from under it.",
      source="computed from the drawing; threshold common practice", unit="mm")  # fmt: skip
def chamber_skin_thin(order: Ordered) -> Answer:
    return None if next(_thinner(order, LEAST_SKIN_MM), None) else next(_thinner(order, THIN_SKIN_MM), None)


def _thinner(order: Ordered, limits_mm: Mapping[str, float]) -> Iterator[At]:
    skins = carved_skins_mm(order.derived) if _hollows(order) else {}
    judged = ((FIELDS[face], skins[face], limit) for face, limit in limits_mm.items() if face in skins)
    return (At(field, skin) for field, skin, limit in judged if under(skin, limit))


@rule("solid-wood-round-screws", ERROR, "body.chambering",
      "Only {figure} of solid wood are left between a chamber and a screw of bridge, neck joint or strap button, where "
      "25 mm are needed. Move the screw, or order a solid body.",
      source="common practice; computed from the drawing", unit="mm")  # fmt: skip
def solid_wood_round_screws(order: Ordered) -> Answer:
    hollows = _hollows(order)
    nearest = ((_wood_mm(hollows, point), field) for field, point in (_screws(order) if hollows else ()))
    least, field = min(nearest, default=(SOLID_MM, ""))
    return At(field, least) if under(least, SOLID_MM) else None


def _screws(order: Ordered) -> Iterator[tuple[str, Point]]:
    """Every screw of the drawing, with the field that moves it."""
    anchor_mm = order.spec.bridge.anchor_mm
    for string in order.derived.strings:
        x, y = string.bridge
        yield "bridge.spread", (x, y)
        yield "bridge.anchor", (x + anchor_mm, y)
    for hole in bolt_holes(order.derived):
        yield "neck.bolt_rows", hole.centre
    for button in strap_buttons(order.derived):
        yield "body.width", button


def _wood_mm(hollows: tuple[Polygon, ...], point: Point) -> float:
    return 0.0 if any(holds(hollow, point) for hollow in hollows) else min(gap_mm(h, (point,)) for h in hollows)


@rule("battery-box-over-chamber", ERROR, "electronics.battery_place",
      "The battery box leaves a wall of {figure} to a chamber, where 5 mm are needed. Put it beside the controls, or "
      "order a solid body.", source="computed from the drawing; common practice", unit="mm")  # fmt: skip
def battery_box_over_chamber(order: Ordered) -> Answer:
    hollows = _hollows(order)
    if not order.spec.electronics.battery_boxes or not hollows:
        return None
    wall = min(_wall_mm(hollow, box_corners(order)) for hollow in hollows)
    return At("electronics.battery_place", wall) if under(wall, WALL_MM) else None


def box_corners(order: Ordered) -> tuple[Point, ...]:
    """The corners of the battery box at its place."""
    x, y = frame(order.derived).at(BOX_AT[order.spec.electronics.battery_place])
    half_x, half_y = BOX_MM[0] / 2, BOX_MM[1] / 2
    return (x - half_x, y - half_y), (x + half_x, y - half_y), (x + half_x, y + half_y), (x - half_x, y + half_y)


def _wall_mm(hollow: Polygon, box: Polygon) -> float:
    meet = any(holds(hollow, corner) for corner in box) or any(holds(box, point) for point in hollow)
    return 0.0 if meet else gap_mm(hollow, box)


def _hollows(order: Ordered) -> tuple[Polygon, ...]:
    """The chambers' outlines; none in a solid body and where no body can be drawn."""
    return tuple(chamber.curve.polygon(FINE) for chamber in _drawn(order))


def _drawn(order: Ordered) -> tuple[Chamber, ...]:
    try:
        return chambers(order.derived)
    except Refused:
        return ()
