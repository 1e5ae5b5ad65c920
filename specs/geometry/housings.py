"""The shells of the pickups seen from above: each at its housing's angle, around the rows it holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from specs.derived import Derived, PickupPlace, Point, RowPlace
from specs.document import Pickup

SHELL_LENGTH_MM = {"4-string soapbar": 89.0, "5-string soapbar": 102.0, "6-string soapbar": 114.0}
"""Length of the common shells. **Source**: common practice, typical sizes; measure the part."""

PAST_COILS_MM = 8.0
"""Shell past its coils at each end where no common shell is named. **Source**: own estimate; measure the part."""

WIDTH_MM = {"single coil": 19.0, "split coil": 28.0, "dual coil": 38.0, "large dual coil": 50.0}
"""Width of a shell by its kind. **Source**: dual coil common practice, the others from memory; measure the part."""

ROUT_ROOM_MM = 0.5
"""Air between a shell and its rout. **Source**: common practice."""


@dataclass(frozen=True)
class Housing:
    """One shell: the pickup's name, its middle, its two sides in mm and its corners; one shell a row of a split one."""

    name: str
    angle_deg: float
    middle: Point
    length_mm: float
    width_mm: float
    corners: tuple[Point, Point, Point, Point]


def housings(derived: Derived, room_mm: float = 0.0) -> tuple[Housing, ...]:
    """Every shell of the instrument, grown by ``room_mm`` all round; mirrored where the instrument is left-handed.

    A shell lies with its middle under the middle of the coils it covers.
    """
    pairs = zip(derived.pickups, derived.spec.pickups, strict=True)
    return tuple(shell for place, ordered in pairs for shell in _shells(derived, place, ordered, room_mm))


def routs(derived: Derived) -> tuple[Housing, ...]:
    """Where to rout for the shells. **Source**: common practice; measure the part in hand before cutting."""
    return housings(derived, ROUT_ROOM_MM)


def _shells(derived: Derived, place: PickupPlace, ordered: Pickup, room_mm: float) -> Iterator[Housing]:
    split = ordered.kind == "split coil"
    side = -1 if derived.spec.hand == "left" else 1
    for rows in [(row,) for row in place.rows] if split else [place.rows]:
        yield _around(rows, place, ordered, side, room_mm)


def _around(
    rows: Sequence[RowPlace], place: PickupPlace, ordered: Pickup, side: int, room_mm: float
) -> Housing:  # fmt: skip
    angle = radians(place.angle_deg)
    along, across = (sin(angle), side * cos(angle)), (cos(angle), -side * sin(angle))
    points = [end for row in rows for end in row.line]
    lengths, widths = (sorted(_dot(point, axis) for point in points) for axis in (along, across))
    length_mm = _length_mm(ordered, lengths[-1] - lengths[0]) + 2 * room_mm
    width_mm = WIDTH_MM[ordered.kind] + widths[-1] - widths[0] + 2 * room_mm
    middle_along, middle_across = (lengths[0] + lengths[-1]) / 2, (widths[0] + widths[-1]) / 2

    def at(share_along: int, share_across: int) -> Point:
        far = middle_along + share_along * length_mm / 2, middle_across + share_across * width_mm / 2
        return far[0] * along[0] + far[1] * across[0], far[0] * along[1] + far[1] * across[1]

    corners = at(-1, -1), at(1, -1), at(1, 1), at(-1, 1)
    return Housing(place.name, place.angle_deg, at(0, 0), length_mm, width_mm, corners)


def _length_mm(ordered: Pickup, coils_mm: float) -> float:
    common = 0.0 if ordered.kind == "split coil" else SHELL_LENGTH_MM.get(ordered.shell, 0.0)
    return max(common, coils_mm if common else coils_mm + 2 * PAST_COILS_MM)


def _dot(point: Point, axis: Point) -> float:
    return point[0] * axis[0] + point[1] * axis[1]
