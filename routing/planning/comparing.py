"""Two versions of the plan side by side: which orders leave on another day, by how many days, and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime

import numpy as np
from django.contrib.auth import get_user_model
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from routing.attendance import Absence
from routing.models import Build, Plan, PlannedBuild, Station, Task, TaskState
from routing.planning.published import rows_of_plan
from routing.planning.stored import PlanRows

EXPLAINED = 40
"""Orders whose reason is looked for, those that moved the most first."""

DAY_MINUTES = 24 * 60


@dataclass(frozen=True)
class Moved:
    """An order that leaves on another day: its build's serial (empty for a booking), both days, and the reason."""

    serial: str
    booking: int | None
    before: date | None
    after: date | None
    why: str

    @property
    def days(self) -> int:
        """Calendar days later; negative: earlier; 0 where it stands in one plan only."""
        return (self.after - self.before).days if self.before and self.after else 0


@dataclass(frozen=True)
class _Pair:
    """Both plans' rows, and each task of the later one with its row in the earlier; -1: new."""

    before: PlanRows
    after: PlanRows
    known: NDArray[np.int64]


def compare(one: Plan, other: Plan) -> list[Moved]:
    """What changed from one plan to the other, the most moved first; then what came, then what went."""
    before, after = _leaving(one), _leaving(other)
    changed = [
        (key, before.get(key), after.get(key))
        for key in before.keys() | after.keys()
        if before.get(key) != after.get(key)
    ]
    changed.sort(key=lambda each: (-_days(each[1], each[2]), each[0]))
    pair = _pair(rows_of_plan(one.pk), rows_of_plan(other.pk))
    serials = _serials(one, other)
    return [
        Moved(serials.get(build, ""), booking or None, old, new, _why(pair, (build, booking), old, new, serials, place))
        for place, ((build, booking), old, new) in enumerate(changed)
    ]


Key = tuple[int, int]


def _days(old: date | None, new: date | None) -> int:
    return abs((new - old).days) if old and new else 0


def _leaving(plan: Plan) -> dict[Key, date]:
    """The day each order leaves; a booking that has its build by now goes by that."""
    rows = PlannedBuild.objects.filter(plan=plan).values_list("build", "booking__build", "booking", "leaves", "ends")
    return {
        (build or of or 0, 0 if of else booking or 0): timezone.localdate(leaves or ends)
        for build, of, booking, leaves, ends in rows
    }


def _serials(one: Plan, other: Plan) -> dict[int, str]:
    there = PlannedBuild.objects.filter(plan__in=(one, other))
    builds = Build.objects.filter(Q(planned__in=there) | Q(booking__planned__in=there))
    return dict(builds.values_list("pk", "serial"))


def _pair(before: PlanRows, after: PlanRows) -> _Pair:
    own, theirs = _names(after), _names(before)
    if not len(theirs):
        return _Pair(before, after, np.full(len(own), -1))
    order = np.argsort(theirs, kind="stable")
    at = order[np.minimum(np.searchsorted(theirs[order], own), len(theirs) - 1)]
    return _Pair(before, after, np.where(theirs[at] == own, at, -1))


def _names(rows: PlanRows) -> NDArray[np.int64]:
    return np.where(rows.task > 0, rows.task, -(rows.booking * 1024 + rows.position + 1))


def _why(pair: _Pair, key: Key, old: date | None, new: date | None, serials: dict[int, str], place: int) -> str:
    if old is None:
        return _("new in the plan")
    if new is None:
        return _("done, withdrawn or cancelled")
    if place >= EXPLAINED:
        return ""
    return _first_reason(pair, key, serials, later=new > old)


def _first_reason(pair: _Pair, key: Key, serials: dict[int, str], *, later: bool) -> str:
    """What became of the first of its tasks that moved by a day and more, in the order they were planned."""
    build, booking = key
    mine = np.flatnonzero((pair.after.build == build) & (pair.after.booking == booking) & (pair.known >= 0))
    old, new = pair.before.begins[pair.known[mine]], pair.after.begins[mine]
    moved = mine[(new - old >= DAY_MINUTES) if later else (old - new >= DAY_MINUTES)]
    if not len(moved):
        return _("small shifts of several tasks")
    task = int(moved[np.argmin(pair.before.begins[pair.known[moved]])])
    return (
        _of_task(pair, task, serials) if later else _("{task} comes earlier").format(task=_task_said(pair.after, task))
    )


def _of_task(pair: _Pair, task: int, serials: dict[int, str]) -> str:
    old, said = int(pair.known[task]), _task_said(pair.after, task)
    begins, now_begins = int(pair.before.begins[old]), int(pair.after.begins[task])
    if person := _away(int(pair.before.person[old]), begins):
        return _("{person} is away when {task} was to be done").format(person=person, task=said)
    front = _in_front(pair, task, begins, now_begins)
    if front is not None:
        who = serials.get(int(pair.after.build[front])) or _("a new promise")
        station = Station.objects.get(pk=int(pair.after.station[task])).name
        return _("{who} is in front of {task} at {station}").format(who=who, task=said, station=_(station))
    return _("{task} could not begin when it was to").format(task=said) + _overrun(pair, task)


def _in_front(pair: _Pair, task: int, begins: int, now_begins: int) -> int | None:
    """The task at the same station or of the same person that took the time, and did not before."""
    rows = pair.after
    known = np.where(pair.known >= 0, pair.before.begins[pair.known], np.iinfo(np.int64).max)
    same = (rows.station == rows.station[task]) | ((rows.person == rows.person[task]) & (rows.person > 0))
    others = (rows.build != rows.build[task]) | (rows.booking != rows.booking[task])
    overlap = np.minimum(rows.ends, now_begins) - np.maximum(rows.begins, begins)
    found = np.flatnonzero(same & others & (known > begins) & (overlap > 0))
    return int(found[np.argmax(overlap[found])]) if len(found) else None


def _away(person: int, minute: int) -> str:
    day = timezone.localdate(datetime.fromtimestamp(60 * minute, UTC))
    is_away = person and Absence.objects.filter(person=person, first__lte=day, last__gte=day).exists()
    return str(get_user_model().objects.get(pk=person)) if is_away else ""


def _overrun(pair: _Pair, task: int) -> str:
    """The task of the same instrument that holds it up by lasting longer than planned or being held."""
    build = int(pair.after.build[task])
    held = Task.objects.filter(build=build, state=TaskState.HELD).order_by("position").first() if build else None
    if held is not None:
        return _(": {operation} is held").format(operation=_(held.operation))
    busy = Task.objects.filter(build=build, state=TaskState.ON_BENCH).order_by("position").first() if build else None
    return _(": {operation} is still on the bench").format(operation=_(busy.operation)) if busy is not None else ""


def _task_said(rows: PlanRows, task: int) -> str:
    known = Task.objects.filter(pk=int(rows.task[task])).values_list("operation", flat=True).first()
    return _(known) if known else _("work of the promise")
