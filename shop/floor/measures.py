"""What a card asks to be measured beside its checks: setbacks at a setup, densities where wood is recorded."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from django.utils.translation import gettext as _

from routing.measured import PARTS, RECORDED, SETUP
from specs.derived import Derived
from specs.errors import Problem, Refused

LEAST_SETBACK_MM, MOST_SETBACK_MM = -5.0, 30.0
LIGHTEST_KG_M3, HEAVIEST_KG_M3 = 100.0, 1400.0
"""What no saddle and no plank lies outside of. **Source**: common practice; balsa and lignum vitae lie inside."""

BOUNDS = {"setback": (LEAST_SETBACK_MM, MOST_SETBACK_MM), "density": (LIGHTEST_KG_M3, HEAVIEST_KG_M3)}


class Measure(NamedTuple):
    """One figure to type: the name it is kept under, what it is, and the bounds it must lie in."""

    key: str
    label: str
    low: float
    high: float


def measures(operation: str, derived: Derived | None) -> tuple[Measure, ...]:
    """What that operation measures on that instrument; nothing where there is no instrument yet."""
    if derived is None:
        return ()
    if operation == SETUP.name:
        return tuple(_setback(string.number, string.pitch) for string in reversed(derived.strings))
    if operation == RECORDED.name:
        return tuple(_density(part) for part in PARTS if part != "top" or derived.spec.body.top != "none")
    return ()


def setbacks_mm(readings: Mapping[str, float]) -> dict[int, float]:
    """The setbacks among readings, by trade number."""
    named = {key.removeprefix("setback "): value for key, value in readings.items() if key.startswith("setback ")}
    return {int(number): value for number, value in named.items() if number.isdecimal()}


def refuse_beyond_reason(readings: Mapping[str, Any]) -> None:
    """Raises Refused with every setback or density no saddle or plank can have, at ``readings.`` and its key."""
    problems = [
        Problem(f"readings.{key}", "out-of-range", _("give {low:g} to {high:g}").format(low=bounds[0], high=bounds[1]))
        for key, value in readings.items()
        if (bounds := BOUNDS.get(key.split(" ")[0])) and not _within(value, *bounds)
    ]
    if problems:
        raise Refused(problems)


def _within(value: Any, low: float, high: float) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high


def _setback(number: int, pitch: str) -> Measure:
    label = _("setback of string {number} · {pitch}, mm").format(number=number, pitch=pitch)
    return Measure(f"setback {number}", label, LEAST_SETBACK_MM, MOST_SETBACK_MM)


def _density(part: str) -> Measure:
    label = _("{part} plank, its weight over its size, kg/m³").format(part=_(part))
    return Measure(f"density {part}", label, LIGHTEST_KG_M3, HEAVIEST_KG_M3)
