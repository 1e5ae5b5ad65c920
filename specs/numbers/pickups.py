"""Figures of the pickups: the room between board and bridge, and how each follows and covers its strings."""

from __future__ import annotations

from collections.abc import Iterator

from specs.derived import Derived
from specs.facts import OrderFacts
from specs.geometry.pickups import free_space_mm
from specs.geometry.strings import layout
from specs.numbers.figure import AT_LEAST, GEOMETRY, Column, Figure, Group, Limit, Table, finite
from specs.rules.ordered import Ordered
from specs.rules.pickups import air_to_board_mm, room_needed_mm, sensed_length_mm

SHELLS = f"{GEOMETRY}; shell 38 mm deep, bridge 30 mm, gaps 3 mm: common practice"
COLUMNS = (
    Column("Pickup"), Column("Angle", "°"), Column("From the bridge line, on the centre line", "mm"),
    Column("Strings of one row apart", "mm"), Column("Coverage needed", "mm"), Column("Shell senses", "mm"),
    Column("Air to the board's end", "mm"),
)  # fmt: skip


def pickups(derived: Derived) -> Group:
    """The group of the pickups; an instrument without any has its free space alone."""
    order = Ordered(derived, OrderFacts())
    tables = (_table(order),) if derived.pickups else ()
    return Group("pickups", "Pickups", tuple(_room(order)), tables)


def _room(order: Ordered) -> Iterator[Figure]:
    bass_mm, treble_mm = free_space_mm(order.spec, layout(order.spec))
    needed_mm = room_needed_mm(order)
    how = "along the outer string, from the end of the board to the scale point"
    yield Figure("free_bass_mm", "Free from board to bridge, bass side", bass_mm, "mm", how, GEOMETRY)
    limit = Limit(AT_LEAST, needed_mm) if needed_mm else None
    how += "; the pickups at their slant, their gaps and the bridge need the limit"
    label = "Free from board to bridge, treble side"
    yield Figure("free_treble_mm", label, treble_mm, "mm", how, SHELLS, limit=limit)


def _table(order: Ordered) -> Table:
    fitted = zip(order.spec.pickups, order.derived.pickups, strict=True)
    return Table("pickups", "Pickup by pickup", COLUMNS, tuple(
        (place.name, place.angle_deg, place.centre_mm, max(row.error_mm for row in place.rows), place.needed_span_mm,
         finite(sensed_length_mm(pickup)), air_to_board_mm(order, pickup, place))
        for pickup, place in fitted
    ))  # fmt: skip
