"""The first materials list: everything one instrument is made of and uses up, each line with how it was computed."""

from __future__ import annotations

from specs.derived import Derived, Material
from specs.materials.board import board_parts
from specs.materials.finish import finish
from specs.materials.lumber import lumber
from specs.materials.parts import electronics, hardware, packing, pickups, strings
from specs.materials.workshop import abrasives, bench, glue

SECTIONS = (lumber, board_parts, strings, hardware, pickups, electronics, glue, finish, abrasives, bench, packing)


def materials(derived: Derived) -> tuple[Material, ...]:
    """Every line of stuff to have in hand, in the order the work needs it; quantities unrounded, in the line's unit."""
    return tuple(line for section in SECTIONS for line in section(derived))
