"""Where an instrument hangs level: its mass, its balance point, and which end drops on the strap."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum
from typing import Any

from specs.arguments import read_nested
from specs.errors import Problem, Refused
from specs.fields import ListOf, Number, Text

FARTHEST_MM = 10_000
MOST_PARTS = 1000

_PLACE = Number(-FARTHEST_MM, FARTHEST_MM, "mm")
BALANCE_ARGUMENTS = {
    "parts": ListOf({"name": Text(200), "mass_kg": Number(0, 1000, "kg"), "x_mm": _PLACE}, 1, MOST_PARTS),
    "straps_mm": ListOf(_PLACE, 2, 2),
}


@dataclass(frozen=True)
class Part:
    """Something on the instrument: what it weighs, and x of its centre from the nut toward the bridge."""

    name: str
    mass_kg: float
    x_mm: float


@dataclass(frozen=True)
class Balance:
    """Total mass, x of the balance point, and the end that drops: ``neck``, ``body`` or ``level``."""

    mass_kg: float
    x_mm: float
    drops: str


def balance(parts: Iterable[Part], neck_button_mm: float, bridge_button_mm: float) -> Balance:
    """Balance of the parts between two strap buttons, x in mm.

    The neck drops where the balance point lies before its button, the body where it lies past the other one. Raises
    ValueError where nothing weighs anything. **Source**: centre of mass; the rule is common practice.
    """
    weighed = tuple(parts)
    mass_kg = fsum(part.mass_kg for part in weighed)
    if not mass_kg > 0:
        raise ValueError("the parts weigh nothing")
    x_mm = fsum(part.mass_kg * part.x_mm for part in weighed) / mass_kg
    return Balance(mass_kg, x_mm, _drops(x_mm, neck_button_mm, bridge_button_mm))


def _drops(x_mm: float, neck_button_mm: float, bridge_button_mm: float) -> str:
    if x_mm < neck_button_mm:
        return "neck"
    return "body" if x_mm > bridge_button_mm else "level"


def balance_figure(given: Any) -> dict[str, Any]:
    """``{"mass_kg", "x_mm", "drops"}`` of parts and two strap buttons, neck side first.

    Raises Refused with a dotted field for every bad argument.
    """
    read = read_nested(BALANCE_ARGUMENTS, given)
    parts, (neck_mm, bridge_mm) = [Part(**part) for part in read["parts"]], read["straps_mm"]
    _refuse(parts, neck_mm, bridge_mm)
    found = balance(parts, neck_mm, bridge_mm)
    return {"mass_kg": found.mass_kg, "x_mm": found.x_mm, "drops": found.drops}


def _refuse(parts: Iterable[Part], neck_mm: float, bridge_mm: float) -> None:
    problems = []
    if not any(part.mass_kg for part in parts):
        problems.append(Problem("parts", "no-mass", "the parts weigh nothing: give at least one mass over 0 kg"))
    if neck_mm > bridge_mm:
        problems.append(Problem("straps_mm", "order", "give the neck-side button first: its x is the smaller one"))
    if problems:
        raise Refused(problems)
