"""Sizes of the drawn body that stuff is bought by; the usual figures where no body can be drawn round the strings."""

from __future__ import annotations

from specs.derived import Derived
from specs.errors import Refused
from specs.geometry.body import BodySize, body_outline, body_size
from specs.geometry.polygons import perimeter_mm
from specs.materials.consumables import usual
from specs.wood.parts import wooden_parts


def drawn_body(derived: Derived) -> BodySize | None:
    """The body's sizes; None where none can be drawn."""
    try:
        return body_size(derived)
    except Refused:
        return None


def face_area_m2(derived: Derived) -> float:
    """Plan area of the body in square metres: one face."""
    size = drawn_body(derived)
    return usual("body_face_area") if size is None else size.area_mm2 / 1e6


def coated_body_m2(derived: Derived) -> float:
    """Both faces and the edge all round in square metres; carves and cavities left out."""
    size = drawn_body(derived)
    if size is None:
        return usual("body_coated_area")
    edge_mm2 = perimeter_mm(body_outline(derived).polygon()) * size.thickness_mm
    return (2 * size.area_mm2 + edge_mm2) / 1e6


def body_length_mm(derived: Derived) -> float:
    """Length of the boards a body is cut from: the body's and its allowance."""
    size = drawn_body(derived)
    return usual("body_blank_length") if size is None else size.length_mm + usual("body_board_over_length")


def finished_l(derived: Derived, plank: str) -> float | None:
    """Litres of a plank's wood left in the finished instrument; None where it cannot be drawn.

    ``plank`` is ``body``, ``top``, ``neck`` or ``fingerboard``.
    """
    try:
        return sum(part.litres for part in wooden_parts(derived) if part.plank == plank)
    except Refused:
        return None
