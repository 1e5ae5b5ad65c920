"""Single figures a workshop asks for outside any order."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from specs.errors import Problem, Refused
from specs.fields import Number
from specs.reading import Wrong, read_value

CUBIC_INCHES_PER_BOARD_FOOT = 144

BOARD_IN = Number(0, 100_000, "in", open_ends=True)
BOARD_FEET_ARGUMENTS = {"thickness_in": BOARD_IN, "width_in": BOARD_IN, "length_in": BOARD_IN}


def board_feet(thickness_in: float, width_in: float, length_in: float) -> float:
    """Volume in board feet, unrounded, of lumber measured in inches. **Source**: common practice, T x W x L / 144."""
    return thickness_in * width_in * length_in / CUBIC_INCHES_PER_BOARD_FOOT


def board_feet_figure(given: Mapping[str, Any]) -> dict[str, float]:
    """``{"board_feet"}`` of a board given by its three sides in inches; raises Refused with every problem."""
    return {"board_feet": board_feet(**read_arguments(BOARD_FEET_ARGUMENTS, given))}


def read_arguments(kinds: Mapping[str, Any], given: Mapping[str, Any]) -> dict[str, Any]:
    """The arguments of a figure, each of its declared kind; raises Refused with every problem at once."""
    problems = [
        Problem(key, "unknown-key", f"unknown key; give {', '.join(kinds)}") for key in given if key not in kinds
    ]
    read: dict[str, Any] = {}
    for key, kind in kinds.items():
        try:
            read[key] = read_value(kind, given.get(key))
        except Wrong as wrong:
            problems.append(Problem(key, wrong.code, str(wrong)))
    if problems:
        raise Refused(problems)
    return read
