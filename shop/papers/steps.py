"""The task list of a sheet: every task of a build in its order of work, with what to check and who signs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _

from routing.catalogue import HoldPoint, Operation, station
from routing.models import Build, Task
from routing.said import listed
from specs.rules import RULES

DESKS = ("sales-desk", "purchasing", "receiving")
"""Stations after which one waits for somebody rather than for wood, glue or lacquer."""

HOURS_A_DAY = 24
DAYS_FROM_H = 48


@dataclass(frozen=True)
class Step:
    """One line of the task list."""

    number: int
    station: str
    new_station: bool
    operation: str
    hours: str
    wait: str
    checks: str
    hold: HoldPoint | None
    second_person: bool
    notes: tuple[str, ...]
    done_at: datetime | None
    initials: str


def steps(build: Build, findings: Iterable[dict[str, Any]], issued_at: datetime) -> tuple[Step, ...]:
    """The lines of the list; what was done before the sheet was issued carries its date and initials."""
    lines: list[Step] = []
    notes = _notes(findings)
    for number, task in enumerate(build.tasks.select_related("station", "person").order_by("position"), start=1):
        new_station = not lines or lines[-1].station != task.station.name
        lines.append(_step(number, task, new_station, notes.get(task.operation, ()), issued_at))
    return tuple(lines)


def _step(number: int, task: Task, new_station: bool, notes: tuple[str, ...], issued_at: datetime) -> Step:
    row, done = listed(task.operation), task.done_at is not None and task.done_at <= issued_at
    return Step(
        number=number,
        station=task.station.name,
        new_station=new_station,
        operation=task.operation,
        hours=_hours(task),
        wait=_wait(task),
        checks=row.checks if row else "",
        hold=row.hold_point if row else None,
        second_person=row.needs_second_person if row else False,
        notes=notes,
        done_at=task.done_at if done else None,
        initials=task.person.initials if done and task.person else "",
    )


def _hours(task: Task) -> str:
    low, high = f"{round(task.low_h, 2):g}", f"{round(task.high_h, 2):g}"
    return low if low == high else f"{low}–{high}"


def _wait(task: Task) -> str:
    """What the clock asks for after the work: rest 72 h (3 days)."""
    if not task.wait_h:
        return ""
    days = f" ({round(task.wait_h / HOURS_A_DAY, 1):g} {_('days')})" if task.wait_h >= DAYS_FROM_H else ""
    return f"{_wait_word(task)} {round(task.wait_h, 2):g} h{days}"


def _wait_word(task: Task) -> str:
    if task.station.slug in DESKS:
        return _("wait")
    return _("cure") if _only_waits(listed(task.operation)) else _("rest")


def _only_waits(row: Operation | None) -> bool:
    return row is not None and station(row.station).waits_only


def _notes(findings: Iterable[dict[str, Any]]) -> dict[str, tuple[str, ...]]:
    """Messages of the findings by the operation whose task prints them."""
    operations = {rule.slug: rule.operations for rule in RULES}
    notes: dict[str, tuple[str, ...]] = {}
    for finding in findings:
        for operation in operations.get(finding["rule"], ()):
            notes[operation] = (*notes.get(operation, ()), finding["message"])
    return notes
