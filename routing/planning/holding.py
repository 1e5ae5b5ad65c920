"""What an instrument waits for longest until it leaves: one reason, read back along the chain that decides its date."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

import numpy as np
from django.utils.translation import gettext as _

from routing.catalogue import OPERATIONS, STATIONS
from routing.lived import LEAVES
from routing.models import Task, TaskState
from routing.planning.capacity import WAITS_ONLY
from routing.planning.timetable import Timetable

DAY_MINUTES = 24 * 60
STAGES = {"B": "wood", "C": "wood", "D": "neck", "E": "wood", "F": "finish", "S": "partner"}
"""What the rest after an operation is about, by its stage."""

OF_OPERATION = {
    "Long-lead parts ordered": "parts",
    "Export permit obtained": "permit",
    "Balance invoice and payment": "money",
    "Deposit received and place in the build line given": "money",
}
_KNOWN = {row.name: row for row in OPERATIONS}
_STATIONS = {row.name: row.slug for row in STATIONS}


class Step(NamedTuple):
    """An open task with its place in the plan, in UTC minutes."""

    operation: str
    station: str
    after: list[int]
    wait: int
    ready: float
    is_held: bool
    begin: int
    end: int


@dataclass(frozen=True)
class Holding:
    """A reason and the calendar days it takes; ``station`` where it is a queue."""

    what: str
    days: float
    station: str = ""

    @property
    def said(self) -> str:
        """In a few words: in line at Fret bench, 12 days."""
        words = {
            "wood": _("rest of wood and glue"), "parts": _("parts"), "permit": _("export permit"), "money": _("money"),
            "customer": _("the customer's answer"), "neck": _("rest of the neck"), "finish": _("coats drying"),
            "cure": _("cure"), "partner": _("the partner"), "held": _("a hold"), "work": _("the work itself"),
        }  # fmt: skip
        what = _("in line at {station}").format(station=_(self.station)) if self.what == "queue" else words[self.what]
        return _("{what}, {days} days").format(what=what, days=max(1, round(self.days)))


def holdings(plan: Timetable, builds: Collection[int], now: datetime) -> dict[int, Holding]:
    """The one reason of each of those builds; one query."""
    steps = _steps(plan, builds)
    minute = now.timestamp() / 60
    return {build: longest(each, minute) for build, each in steps.items() if each}


def _steps(plan: Timetable, builds: Collection[int]) -> dict[int, dict[int, Step]]:
    rows = plan.rows
    mine = np.flatnonzero(np.isin(rows.build, list(builds)) & (rows.task > 0))
    placed = {int(rows.task[row]): (int(rows.begins[row]), int(rows.ends[row])) for row in mine.tolist()}
    columns = ("pk", "build_id", "position", "operation", "station__name", "after", "wait_h", "ready_at", "state")
    found: dict[int, dict[int, Step]] = {build: {} for build in builds}
    for pk, build, position, *more in Task.objects.open().filter(build__in=builds).values_list(*columns):
        if pk in placed:
            found[build][position] = _step(more, placed[pk])
    return found


def _step(columns: list[Any], placed: tuple[int, int]) -> Step:
    operation, station, after, wait_h, ready_at, state = columns
    ready = ready_at.timestamp() / 60 if ready_at else 0.0
    return Step(operation, station, after, round(60 * wait_h), ready, state == TaskState.HELD, *placed)


def longest(steps: Mapping[int, Step], now: float) -> Holding:
    """The reason with most days when those of the chain from despatch back to now are added up.

    ``steps`` by position; ``now`` in UTC minutes.
    """
    last = [place for place, step in steps.items() if step.operation in LEAVES]
    at: int | None = last[0] if last else max(steps, key=lambda place: steps[place].end)
    spent: dict[tuple[str, str], float] = {}
    while at is not None:
        at = _back(steps, at, now, spent)
    (what, station), minutes = max(spent.items(), key=lambda item: item[1])
    return Holding(what, minutes / DAY_MINUTES, station)


def _back(steps: Mapping[int, Step], at: int, now: float, spent: dict[tuple[str, str], float]) -> int | None:
    """Book what lies between a task and the one before it that ends last; that one, None at the beginning."""
    step = steps[at]
    before = [place for place in step.after if place in steps]
    latest = max(before, key=lambda place: steps[place].end + steps[place].wait, default=None)
    _add(spent, ("work", ""), step.end - step.begin)
    if latest is None:
        ready = max(now, step.ready)
        _add(spent, (_first_wait(step), ""), ready - now)
    else:
        ready = max(now, steps[latest].end + steps[latest].wait)
        _add(spent, (_rest_after(steps[latest].operation), ""), min(steps[latest].wait, ready - steps[latest].end))
    _add(spent, _queue(step), step.begin - ready)
    return latest


def _add(spent: dict[tuple[str, str], float], what: tuple[str, str], minutes: float) -> None:
    spent[what] = spent.get(what, 0.0) + max(0.0, minutes)


def _queue(step: Step) -> tuple[str, str]:
    known = _KNOWN.get(step.operation)
    if step.is_held:
        return "held", ""
    if known is not None and known.customer_decides:
        return OF_OPERATION.get(step.operation, "customer"), ""
    return "queue", step.station


def _first_wait(step: Step) -> str:
    """What the clock before a task that is ready waits for: the rest after the operation before it."""
    known = _KNOWN.get(step.operation)
    rests = [_rest_after(name) for name in known.after] if known is not None else []
    return "cure" if "cure" in rests else rests[-1] if rests else "work"


def _rest_after(operation: str) -> str:
    known = _KNOWN.get(operation)
    if known is None:
        return "work"
    if operation in OF_OPERATION:
        return OF_OPERATION[operation]
    if known.customer_decides:
        return "customer"
    return "cure" if _STATIONS.get(known.station) in WAITS_ONLY else STAGES.get(known.stage[0], "work")
