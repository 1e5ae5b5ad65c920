"""Where the pickups sit: the line of each housing, the share of every string its rows sense, and how even that is.

Computed right-handed; only the lines to draw are mirrored for a left-handed instrument.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, hypot, log2, radians, sin, tan

from specs.derived import PickupPlace, Point, RowPlace
from specs.document import BuildSpec, Pickup
from specs.errors import Refused
from specs.geometry.best_angle import SensedString, Sensing
from specs.geometry.lines import Crossline, Edge
from specs.geometry.strings import LEAST_OPENNESS, Layout

END_ROOM_MM = 2.0
"""What a housing covers past each outer string."""


def pickup_places(spec: BuildSpec, plan: Layout) -> tuple[PickupPlace, ...]:
    """Every pickup of the spec in its order. Raises Refused at ``pickups.j.angle``."""
    return tuple(_place(spec, plan, position, pickup) for position, pickup in enumerate(spec.pickups))


def aligned_line(plan: Layout, fraction: float) -> Crossline:
    """The line through the points of that fraction on the outer strings: that of fret −12·log2(fraction)."""
    return plan.line(-12 * log2(fraction))


def free_space_mm(spec: BuildSpec, plan: Layout) -> tuple[float, float]:
    """Room from the board's end to the scale point along the bass and the treble string, in mm."""
    end = plan.line(spec.fingerboard.frets).moved(spec.fingerboard.overhang_mm)
    last = len(plan.nut_places) - 1
    return _space_mm(plan, end, 0), _space_mm(plan, end, last)


def _space_mm(plan: Layout, end: Crossline, string: int) -> float:
    (x_nut, y_nut), (x_bridge, y_bridge) = plan.nut_point(string), plan.bridge_point(string)
    x_end, y_end = Edge((x_nut, y_nut), (y_bridge - y_nut) / (x_bridge - x_nut)).crossing(end)
    return hypot(x_bridge - x_end, y_bridge - y_end)


def _sensed(plan: Layout, string: int, offset_mm: float) -> SensedString:
    (x_nut, y_nut), (x_bridge, y_bridge) = plan.nut_point(string), plan.bridge_point(string)
    return SensedString(y_bridge, x_bridge - x_nut, y_nut - y_bridge, offset_mm)


def _offsets_mm(pickup: Pickup, count: int) -> tuple[float, ...]:
    """The offset of the row each string stands in, bass to treble."""
    by_number = {number: row.offset_mm for row in pickup.rows for number in row.strings}
    return tuple(by_number[count - index] for index in range(count))


def _place(spec: BuildSpec, plan: Layout, position: int, pickup: Pickup) -> PickupPlace:
    offsets_mm = _offsets_mm(pickup, spec.strings.count)
    sensed = tuple(_sensed(plan, index, offset_mm) for index, offset_mm in enumerate(offsets_mm))
    sensing = Sensing(plan.bridge_line.slope, sensed, pickup.fraction)
    slope = _slope(plan, pickup, sensing, f"pickups.{position}.angle")
    through_points = pickup.angle == "aligned" and not any(offsets_mm)
    centre_mm = plan.mean_run_mm * pickup.fraction if through_points else sensing.centre_mm(slope)
    return _measured(spec, plan, pickup, sensing, Crossline(centre_mm, slope))


def _slope(plan: Layout, pickup: Pickup, sensing: Sensing, field: str) -> float:
    if pickup.angle == "best":
        return _best_slope(sensing, field)
    slope = aligned_line(plan, pickup.fraction).slope if pickup.angle == "aligned" else tan(radians(pickup.angle))
    if sensing.openness(slope) < LEAST_OPENNESS:
        raise Refused.one(field, "along-strings", "the pickup would run along a string: give an angle nearer 0°")
    return slope


def _best_slope(sensing: Sensing, field: str) -> float:
    slope = sensing.best_slope()
    if slope is None:
        raise Refused.one(
            field, "no-best-angle", 'no angle within 80° is best for these rows: give "aligned" or an angle in degrees'
        )
    return slope


def _measured(spec: BuildSpec, plan: Layout, pickup: Pickup, sensing: Sensing, line: Crossline) -> PickupPlace:
    """Everything told of a housing whose line crosses y = 0 ``line.centre_mm`` before the bridge line."""
    fractions = sensing.fractions(line.centre_mm, line.slope)
    longest_mm = max(plan.scale_mm(index) for index in range(len(fractions)))
    points = tuple(_point(plan, index, fraction) for index, fraction in enumerate(fractions))
    error = max(fractions) - min(fractions)
    return PickupPlace(
        name=pickup.name,
        angle_deg=line.angle_deg if isinstance(pickup.angle, str) else pickup.angle,
        centre_mm=line.centre_mm,
        fractions=fractions,
        error_fraction=error,
        error_mm=error * longest_mm,
        needed_span_mm=_span_mm(sensing, fractions, line.slope),
        rows=tuple(_rows(spec, pickup, fractions, points, line, longest_mm)),
    )


def _point(plan: Layout, string: int, fraction: float) -> Point:
    (x_nut, y_nut), (x_bridge, y_bridge) = plan.nut_point(string), plan.bridge_point(string)
    return x_bridge + fraction * (x_nut - x_bridge), y_bridge + fraction * (y_nut - y_bridge)


def _span_mm(sensing: Sensing, fractions: Sequence[float], slope: float) -> float:
    """Distance along the housing between the sensed points of the outer strings, with room at both ends."""
    bass, treble = sensing.strings[0], sensing.strings[-1]
    across_mm = treble.y_mm(fractions[-1]) - bass.y_mm(fractions[0])
    along_mm = across_mm * hypot(1, slope) + (treble.offset_mm - bass.offset_mm) * slope
    return abs(along_mm) + 2 * END_ROOM_MM


def _rows(
    spec: BuildSpec, pickup: Pickup, fractions: Sequence[float], points: Sequence[Point], line: Crossline,
    longest_mm: float,
) -> Iterator[RowPlace]:  # fmt: skip
    count = spec.strings.count
    side = -1 if spec.hand == "left" else 1
    for row in pickup.rows:
        numbers = tuple(sorted(row.strings, reverse=True))
        own = [fractions[count - number] for number in numbers]
        ends = _ends([points[count - number] for number in numbers], radians(line.angle_deg))
        error = max(own) - min(own)
        yield RowPlace(
            strings=numbers,
            sensed=tuple(_turned(points[count - number], side) for number in numbers),
            line=(_turned(ends[0], side), _turned(ends[1], side)),
            error_fraction=error,
            error_mm=error * longest_mm,
        )


def _ends(points: Sequence[Point], angle: float) -> tuple[Point, Point]:
    """The row's line from a little outside its bass string to a little outside its treble one."""
    (x_bass, y_bass), (x_treble, y_treble) = points[0], points[-1]
    x_room, y_room = END_ROOM_MM * sin(angle), END_ROOM_MM * cos(angle)
    return (x_bass - x_room, y_bass - y_room), (x_treble + x_room, y_treble + y_room)


def _turned(point: Point, side: int) -> Point:
    return point[0], 0.0 + side * point[1]
