"""Single figures a workshop asks for outside any order."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from specs.arguments import read_nested
from specs.fields import Number

CUBIC_INCHES_PER_BOARD_FOOT = 144

BOARD_IN = Number(0, 100_000, "in", open_ends=True)
BOARD_FEET_ARGUMENTS = {"thickness_in": BOARD_IN, "width_in": BOARD_IN, "length_in": BOARD_IN}


def board_feet(thickness_in: float, width_in: float, length_in: float) -> float:
    """Volume in board feet, unrounded, of lumber measured in inches. **Source**: common practice, T x W x L / 144."""
    return thickness_in * width_in * length_in / CUBIC_INCHES_PER_BOARD_FOOT


def board_feet_figure(given: Mapping[str, Any]) -> dict[str, float]:
    """``{"board_feet"}`` of a board given by its three sides in inches; raises Refused with every problem."""
    return {"board_feet": board_feet(**read_nested(BOARD_FEET_ARGUMENTS, given))}
