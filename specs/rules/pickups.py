"""Rules of where the pickups sit: room for them, what they cover, how they follow the fan, and the board's end."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, inf, radians, tan

from specs.derived import PickupPlace
from specs.document import Pickup
from specs.geometry.housings import WIDTH_MM
from specs.geometry.neck import crossline
from specs.geometry.pickups import free_space_mm
from specs.geometry.strings import layout
from specs.rules.ordered import Ordered
from specs.rules.rule import COMPUTED, ERROR, WARNING, Answer, At, over, rule, under

SHELL_LENGTH_MM = {"4-string soapbar": 89.0, "5-string soapbar": 102.0, "6-string soapbar": 114.0}
WALL_MM = 5.0
"""Length of the usual shells and what each end of one does not sense. **Source**: common practice."""

BRIDGE_ROOM_MM, GAP_MM, MOST_OFF_FAN_MM = 30.0, 3.0, 7.0


@rule("no-room-for-pickups", ERROR, "fingerboard.frets",
      "Only {figure} are left between the end of the board and the nearest saddle, too little for the pickups ordered "
      "at their slant with their gaps and the bridge. Take fewer frets or fewer pickups.",
      source="computed; width of the shell as drawn, bridge 30 mm, gaps 3 mm: common practice", unit="mm")  # fmt: skip
def no_room_for_pickups(order: Ordered) -> Answer:
    room = min(free_space_mm(order.spec, layout(order.spec)))
    return under(room, room_needed_mm(order)) and room


@rule("pickup-under-board", ERROR, "pickups",
      "This pickup's shell comes {figure} from the end of the fingerboard, where 3 mm are needed: there is no wood to "
      "sink it in. Move it toward the bridge; with 24 frets the greatest fraction is about 0.21.",
      source="computed; shell 38 mm deep: common practice", unit="mm")  # fmt: skip
def pickup_under_board(order: Ordered) -> Answer:
    for number, pickup, place in _fitted(order):
        air = air_to_board_mm(order, pickup, place)
        if under(air, GAP_MM):
            return At(f"pickups.{number}.fraction", air)
    return None


@rule("pickup-coverage", ERROR, "pickups",
      "Along this slanted pickup the strings need {figure} of coverage, more than its shell senses: the outer string "
      "falls off the poles. Choose a longer or a slanted shell, or a smaller angle.",
      source="computed; a shell senses its length less 5 mm at each end: common practice", unit="mm")  # fmt: skip
def pickup_coverage(order: Ordered) -> Answer:
    for number, pickup, place in _fitted(order):
        if over(place.needed_span_mm, sensed_length_mm(pickup)):
            return At(f"pickups.{number}.shell", place.needed_span_mm)
    return None


@rule("pickup-off-the-fan", WARNING, "pickups",
      "One row of this pickup senses its strings up to {figure} apart: the tone is uneven from string to string. Let "
      "its angle follow the fan at its place.", source=COMPUTED, unit="mm")  # fmt: skip
def pickup_off_the_fan(order: Ordered) -> Answer:
    for number, _, place in _fitted(order):
        worst = max(row.error_mm for row in place.rows)
        if over(worst, MOST_OFF_FAN_MM):
            return At(f"pickups.{number}.angle", worst)
    return None


def room_needed_mm(order: Ordered) -> float:
    """What the pickups at their slant take along the strings, with their gaps and the bridge; 0 without pickups."""
    depths = [shell_depth_mm(pickup, place) for _, pickup, place in _fitted(order)]
    return sum(depth + GAP_MM for depth in depths) + BRIDGE_ROOM_MM if depths else 0.0


def shell_depth_mm(pickup: Pickup, place: PickupPlace) -> float:
    """What a pickup takes along the strings: its shell at its slant, and how far its rows stand apart."""
    offsets = [row.offset_mm for row in pickup.rows]
    return WIDTH_MM[pickup.kind] / cos(radians(place.angle_deg)) + max(offsets) - min(offsets)


def sensed_length_mm(pickup: Pickup) -> float:
    """How far along itself a shell senses; a shell made to fit has no limit."""
    return SHELL_LENGTH_MM.get(pickup.shell, inf) - 2 * WALL_MM


def air_to_board_mm(order: Ordered, pickup: Pickup, place: PickupPlace) -> float:
    """Least air from a shell to the board's end, square to that end and within its width; negative under the board."""
    derived = order.derived
    last = crossline(derived.frets[-1])
    end = last.moved(derived.board.length_mm - last.centre_mm)
    bridge_x, side = _bridge_x(order), -1 if order.spec.hand == "left" else 1
    slope = tan(radians(place.angle_deg)) * side
    front = bridge_x - place.centre_mm - shell_depth_mm(pickup, place) / 2
    ends = [y for _, y in derived.board.outline[2:]]
    return min(front + slope * y - end.at(y)[0] for y in ends) * cos(radians(end.angle_deg))


def _bridge_x(order: Ordered) -> float:
    """The x where the bridge line crosses the centre line; the outer strings end as far on either side of it."""
    return (order.derived.strings[0].bridge[0] + order.derived.strings[-1].bridge[0]) / 2


def _fitted(order: Ordered) -> Iterator[tuple[int, Pickup, PickupPlace]]:
    places = zip(order.spec.pickups, order.derived.pickups, strict=True)
    return ((number, pickup, place) for number, (pickup, place) in enumerate(places))
