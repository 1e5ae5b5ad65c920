"""How work is spoken of in messages: moments, names, and what a task is now."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django.utils import timezone
from django.utils.dates import MONTHS_3, WEEKDAYS_ABBR
from django.utils.translation import gettext as _

from routing.catalogue import Operation, operation, station
from routing.models import Task, TaskState

DESKS = ("sales-desk", "purchasing", "receiving")
"""Stations after which one waits for somebody rather than for wood, glue or lacquer."""


def moment_said(value: datetime) -> str:
    """A moment no country misreads, in local time: Thu 16 Apr 2026 08:10."""
    local = timezone.localtime(value)
    return f"{day_said(local.date())} {local:%H:%M}"


def day_said(value: date) -> str:
    """A date no country misreads: Thu 16 Apr 2026."""
    return f"{WEEKDAYS_ABBR[value.weekday()]} {value.day:02d} {MONTHS_3[value.month].title()} {value.year}"


def listed(name: str) -> Operation | None:
    """The catalogue's row of that operation; None for one that has since left the catalogue."""
    try:
        return operation(name)
    except KeyError:
        return None


def waiting_word(name: str) -> str:
    """What the clock does before an operation: cure a coat, rest wood and glue, or wait for somebody's answer."""
    row = listed(name)
    before = [station(operation(each).station) for each in row.after] if row else []
    if any(place.waits_only for place in before):
        return _("cure")
    return _("wait") if before and all(place.slug in DESKS for place in before) else _("rest")


def waits_said(task: Task) -> str:
    """Until when the clock keeps the task: cure until Thu 16 Apr 2026 08:10."""
    word = waiting_word(task.operation)
    return _("{word} until {moment}").format(word=word, moment=moment_said(task.ready_at))


def names_said(people: Iterable[Any]) -> str:
    """People in a row, or that there is nobody."""
    return ", ".join(str(person) for person in people) or _("nobody")


def task_said(task: Task, now: datetime, before: Iterable[Task] = ()) -> str:
    """One sentence: what the task is now, who has it, what it waits for."""
    return _("{operation} on {serial} is {state}.").format(
        operation=_(task.operation), serial=task.build.serial, state=_state_said(task, now, before)
    )


def _state_said(task: Task, now: datetime, before: Iterable[Task]) -> str:
    match task.state:
        case TaskState.DONE:
            return _("done, by {who}, {at}").format(who=names_said([task.person]), at=moment_said(task.done_at))
        case TaskState.ON_BENCH:
            return _("on the bench with {who} since {at}").format(
                who=names_said([task.person]), at=moment_said(task.started_at)
            )
        case TaskState.HELD:
            return _("held: {reason}").format(reason=_hold_said(task))
        case TaskState.READY:
            waiting = _("waiting: {until}").format(until=waits_said(task))
            return waiting if task.ready_at > now else _("ready and not on the bench")
    missing = dict.fromkeys(_(task.operation) for task in before if task.state != TaskState.DONE)
    return _("not ready; still to do before it: {operations}").format(operations=", ".join(missing) or "–")


def _hold_said(task: Task) -> str:
    hold = task.holds.filter(lifted_at=None).select_related("placed_by").first()
    return f"{hold.reason} ({hold.placed_by})" if hold else "–"
