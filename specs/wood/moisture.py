"""How wet wood is: what a room makes of it in the end, and when a resting plank may be cut."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, NamedTuple

from specs.arguments import read_nested
from specs.fields import Number

EMC_ARGUMENTS = {"celsius": Number(-30, 130, "°C"), "rh_pct": Number(0, 100, "%")}

REST = timedelta(days=7)
STEADY_PCT = 0.5
ROOM_PCT = 1.0
PARTNER_PCT = 1.0
DRIEST_PCT, WETTEST_PCT = 6.5, 8.5

_ROUNDING_PCT = 1e-9
"""Readings are decimals; their difference in doubles is not."""


def emc_pct(celsius: float, rh_pct: float) -> float:
    """Moisture content in percent at which wood rests in air of that temperature and relative humidity.

    **Source**: USDA FPL, Wood Handbook (FPL-GTR-190, FPL-GTR-282), Eq 4-5, coefficients for degrees Celsius.
    """
    dry_mass = 349 + 1.29 * celsius + 0.0135 * celsius**2
    k = 0.805 + 0.000736 * celsius - 0.00000273 * celsius**2
    k1 = 6.27 - 0.00938 * celsius - 0.000303 * celsius**2
    k2 = 1.91 + 0.0407 * celsius - 0.000293 * celsius**2
    kh = k * rh_pct / 100
    one_layer, two_layers = k1 * kh, k1 * k2 * kh**2
    return 1800 / dry_mass * (kh / (1 - kh) + (one_layer + 2 * two_layers) / (1 + one_layer + two_layers))


def emc_figure(given: Any) -> dict[str, float]:
    """``{"emc_pct"}`` of air given by degrees Celsius and relative humidity; raises Refused with every problem."""
    return {"emc_pct": emc_pct(**read_nested(EMC_ARGUMENTS, given))}


def release_window_pct(room_emc_pct: float) -> tuple[float, float] | None:
    """Moistures in percent at which a plank may leave a room: within 1.0 % of its equilibrium and within 6.5-8.5 %.

    None where the room itself is too dry or too damp for any plank. **Source**: common practice, no source.
    """
    low_pct, high_pct = max(DRIEST_PCT, room_emc_pct - ROOM_PCT), min(WETTEST_PCT, room_emc_pct + ROOM_PCT)
    return (low_pct, high_pct) if low_pct <= high_pct else None


class Reading(NamedTuple):
    """A moisture reading of a plank."""

    on: date
    moisture_pct: float


@dataclass(frozen=True)
class Acclimation:
    """Whether a plank may leave its rest, why not in words, and the day of the earliest reading that could free it."""

    rested: bool
    reasons: tuple[str, ...] = ()
    next_check: date | None = None
    """None for a rested plank, and for one never read: read it now."""


def acclimation(readings: Sequence[Reading], room_emc_pct: float, partners_pct: Iterable[float] = ()) -> Acclimation:
    """Whether a plank may leave acclimation by its readings; ``partners_pct`` are the last ones of its glue partners.

    Its last two readings, at least 7 days apart, differ by at most 0.5 % and both lie within 1.0 % of the room's
    equilibrium and within 6.5-8.5 %; glue partners lie within 1.0 % of it. The next check comes 7 days after the last
    reading, since two must be so far apart. **Source**: common practice, no source.
    """
    in_order = sorted(readings)
    last_two = in_order[-2:]
    reasons = (*_unsteady(last_two), *_unfit(last_two, room_emc_pct), *_strangers(last_two, partners_pct))
    if not reasons:
        return Acclimation(rested=True)
    return Acclimation(False, reasons, in_order[-1].on + REST if in_order else None)


def _unsteady(last_two: Sequence[Reading]) -> list[str]:
    if len(last_two) < 2:
        return ["needs two readings at least 7 days apart"]
    earlier, later = last_two
    reasons = []
    if later.on - earlier.on < REST:
        reasons.append(f"its last two readings are {(later.on - earlier.on).days} days apart: 7 are needed")
    if _beyond(abs(later.moisture_pct - earlier.moisture_pct), STEADY_PCT):
        reasons.append(f"still moving: {earlier.moisture_pct:.1f} % to {later.moisture_pct:.1f} %")
    return reasons


def _unfit(last_two: Sequence[Reading], room_emc_pct: float) -> list[str]:
    reasons = []
    if any(_beyond(abs(reading.moisture_pct - room_emc_pct), ROOM_PCT) for reading in last_two):
        reasons.append(f"over 1.0 % from the {room_emc_pct:.1f} % the room will make of it")
    if any(_beyond(DRIEST_PCT, pct) or _beyond(pct, WETTEST_PCT) for _, pct in last_two):
        reasons.append("outside 6.5-8.5 %")
    return reasons


def _strangers(last_two: Sequence[Reading], partners_pct: Iterable[float]) -> list[str]:
    apart = [pct for pct in partners_pct if last_two and _beyond(abs(pct - last_two[-1].moisture_pct), PARTNER_PCT)]
    return [f"a glue partner reads {pct:.1f} %, over 1.0 % from it" for pct in apart]


def _beyond(pct: float, limit_pct: float) -> bool:
    return pct > limit_pct + _ROUNDING_PCT
