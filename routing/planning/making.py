"""A plan made: backlog and bookings as one problem, the order of before kept, or a rule's where it is better."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from numpy.typing import NDArray

from routing.adjustments import EstimateTable
from routing.estimating import estimate_table
from routing.expand import build_rows
from routing.models import Booking, Build
from routing.plan.candidates import cheapest_by_rule
from routing.plan.cost import Cost, cost_of, days_late
from routing.plan.problem import NONE, Plan, PlanRefused, Problem
from routing.plan.serial import decode, insert
from routing.plan.trial import rush_first, rush_tasks, to_the_front
from routing.planning.backlog import Backlog, read_backlog
from routing.planning.frozen import Planned
from routing.planning.ordered import OrderedWork, order_work, with_orders
from routing.planning.stored import PlanRows, no_rows, rows_of
from specs.facts import OrderFacts

COST: Cost = "convex"
LOOK_BACK = timedelta(days=7)
"""Planned starts of the days around now are all that can be frozen."""

SETTLED_AFTER = 8
"""A plan decoded so often no longer moves; the search for gaps ends there in any case."""

RULE_WINS_BELOW = 0.9
TOLERANCE_MINUTES = 60
"""A published plan still holds where everything can begin no later than this after its time."""


@dataclass(frozen=True, eq=False)
class Line:
    """Everything that wants a place: the backlog's rows, then those of bookings, with their database keys."""

    backlog: Backlog
    bookings: list[tuple[Booking, OrderedWork]]
    problem: Problem
    keys: Mapping[str, NDArray[np.int64]]

    def order_leaves(self) -> dict[tuple[int, int], int]:
        """The row of the order whose end is the despatch, by build and booking (one of them 0)."""
        known = {(row.build, 0): place for place, row in enumerate(self.backlog.orders) if row.leaves}
        first = len(self.backlog.orders)
        return known | {(0, booking.pk): first + place for place, (booking, _work) in enumerate(self.bookings)}


def read_line(now: datetime, published: PlanRows, bookings: Sequence[Booking]) -> Line:
    """The problem of this moment; ``published`` says what begins too soon to be moved."""
    backlog = read_backlog(now, planned=_soon(published, now))
    hours = estimate_table()
    booked = [(each, _booked_work(each, backlog, hours, now)) for each in bookings]
    problem = with_orders(backlog.problem, [work.work for _booking, work in booked])
    return Line(backlog, booked, problem, _keys(backlog, booked))


def _soon(published: PlanRows, now: datetime) -> dict[int, Planned]:
    begin, end = ((now + days).timestamp() / 60 for days in (timedelta(0), LOOK_BACK))
    near = published.where((published.task > 0) & (published.begins >= begin) & (published.begins <= end))
    return {
        task: Planned(datetime.fromtimestamp(60 * begins, UTC), person or None)
        for task, begins, person in zip(*(c.tolist() for c in (near.task, near.begins, near.person)), strict=True)
    }


def facts_of_booking(booking: Booking) -> OrderFacts:
    """The facts of its order."""
    return OrderFacts(line=booking.line, **booking.facts)


def _booked_work(booking: Booking, backlog: Backlog, hours: EstimateTable, now: datetime) -> OrderedWork:
    rows = build_rows(booking.spec.build_spec(), facts_of_booking(booking), hours)
    due = backlog.shop.end_of(booking.promised_on)
    return order_work(rows, backlog.shop, release=backlog.shop.tick_at(now), due=due)


def _keys(backlog: Backlog, booked: Sequence[tuple[Booking, OrderedWork]]) -> dict[str, NDArray[np.int64]]:
    build = np.array([row.build for row in backlog.orders], dtype=np.int64)[backlog.problem.work.order]
    sizes = [len(work.tasks) for _booking, work in booked]
    more = sum(sizes)
    booking = np.repeat(np.array([each.pk for each, _work in booked], dtype=np.int64), sizes)
    place = [np.arange(size) for size in sizes]
    return {
        "task": np.concatenate((backlog.tasks, np.zeros(more, dtype=np.int64))),
        "build": np.concatenate((build, np.zeros(more, dtype=np.int64))),
        "booking": np.concatenate((np.zeros(len(build), dtype=np.int64), booking)),
        "position": np.concatenate((np.arange(len(build)), *place)).astype(np.int64),
    }


@dataclass(frozen=True, eq=False)
class Made:
    """A plan for the line, its cost, and how it came about."""

    plan: Plan
    cost: float
    how: str


def carried_on(line: Line, published: PlanRows) -> Made | None:
    """The published order of tasks decoded on the present problem, what is new behind it; None without one."""
    known = _known(line, published)
    if not len(line.problem.work) or not (known.begins > 0).any():
        return None
    begins = np.where(known.begins > 0, known.begins, np.iinfo(np.int64).max // 2)
    work = line.problem.work
    for task in range(len(work)):
        before = work.after[work.after_ptr[task] : work.after_ptr[task + 1]]
        if len(before):
            begins[task] = max(begins[task], begins[before].max())
    sequence = to_the_front(line.problem, np.lexsort((np.arange(len(work)), begins)))
    plan = insert(line.problem, sequence)
    return Made(plan, cost_of(line.problem, plan, COST), _("the order of before, carried on"))


def by_rule(line: Line) -> Made:
    """The cheapest plan of the rules. Raises PlanRefused."""
    plan = settled(line.problem, cheapest_by_rule(line.problem, COST))
    return Made(plan, cost_of(line.problem, plan, COST), _("the best of the simple rules"))


def chosen(ruled: Made, carried: Made | None) -> Made:
    """The order of before where a rule's is not better by a tenth: whoever looked at it yesterday finds it again."""
    return ruled if carried is None or ruled.cost < RULE_WINS_BELOW * carried.cost else carried


def settled(problem: Problem, plan: Plan) -> Plan:
    """The plan with its gaps closed: decoding it once more moves nothing; what has the rush tag goes first."""
    plan = rush_first(problem, plan)
    for _again in range(SETTLED_AFTER):
        closer = decode(problem, plan)
        if np.array_equal(closer.start, plan.start):
            break
        plan = closer
    return plan


def _known(line: Line, published: PlanRows) -> PlanRows:
    """For each task of the line its row in the published plan; zeros where it has none."""
    own, theirs = (
        _names(line.keys["task"], line.keys["booking"], line.keys["position"]),
        _names(published.task, published.booking, published.position),
    )
    if not len(theirs):
        return no_rows(len(own))
    order = np.argsort(theirs, kind="stable")
    at = np.minimum(np.searchsorted(theirs[order], own), len(theirs) - 1)
    rows = order[at]
    found = theirs[rows] == own
    return PlanRows(*(np.where(found, column[rows], 0) for column in published))


def _names(task: NDArray[np.int64], booking: NDArray[np.int64], position: NDArray[np.int64]) -> NDArray[np.int64]:
    """One number a task: its key, or below zero its place in a booking."""
    return np.where(task > 0, task, -(booking * 1024 + position + 1))


def why_broken(line: Line, published: PlanRows, carried: Plan, now: datetime) -> str:
    """What of the published plan no longer holds, in words; empty while it can still be carried out."""
    known, minute = _known(line, published), now.timestamp() / 60
    new = np.flatnonzero(known.begins == 0)
    if len(new):
        said = ngettext("{n} task is new since, of {whom}", "{n} tasks are new since, of {whom}", len(new))
        return said.format(n=len(new), whom=_whose(line, new))
    frozen = line.problem.work.fixed != NONE
    slipped = np.flatnonzero((known.begins < minute) & ~frozen & (line.problem.work.ticks > 0))
    if len(slipped):
        said = ngettext("{n} task should have begun, of {whom}", "{n} tasks should have begun, of {whom}", len(slipped))
        return said.format(n=len(slipped), whom=_whose(line, slipped))
    moved = _moved_minutes(line, known, carried)
    first = np.flatnonzero(rush_tasks(line.problem) & (moved < -TOLERANCE_MINUTES))
    if len(first):
        return _("the rush tag goes first, on {whom}").format(whom=_whose(line, first))
    later = np.flatnonzero(moved > TOLERANCE_MINUTES)
    if len(later):
        said = ngettext(
            "{n} task can no longer be where it has it, of {whom}",
            "{n} tasks can no longer be where it has them, of {whom}",
            len(later),
        )
        return said.format(n=len(later), whom=_whose(line, later))
    return ""


def _moved_minutes(line: Line, known: PlanRows, plan: Plan) -> NDArray[np.int64]:
    """How much later each task begins than it was published."""
    clock = np.append(line.problem.axis.begins, line.problem.axis.ends[-1:])
    return np.where(line.problem.work.ticks > 0, clock[plan.start] - known.begins, 0)


def _whose(line: Line, tasks: NDArray[np.int64]) -> str:
    builds = [pk for pk in dict.fromkeys(line.keys["build"][tasks].tolist()) if pk]
    serials = list(Build.objects.filter(pk__in=builds[:3]).order_by("pk").values_list("serial", flat=True))
    bookings = len([pk for pk in dict.fromkeys(line.keys["booking"][tasks].tolist()) if pk])
    said = [*serials, *([_("{n} bookings").format(n=bookings)] if bookings else [])]
    return ", ".join(said) + (" …" if len(builds) > 3 else "")


def as_rows(line: Line, plan: Plan) -> PlanRows:
    """The plan as it is kept, with the hooks that hang full now in front."""
    rows = rows_of(line.problem, line.backlog.shop, plan, **line.keys)
    return PlanRows(*(np.concatenate(pair) for pair in zip(_hooks(line), rows, strict=True)))


def _hooks(line: Line) -> PlanRows:
    """Places that work done before this plan still rests on."""
    shop, rows = line.backlog.shop, []
    gone = shop.capacity.places - line.problem.capacity.places
    for station in np.flatnonzero(gone.any(axis=1)):
        for level in range(int(gone[station].max())):
            end = int(np.flatnonzero(gone[station] > level)[-1])
            rows.append((shop.crew.stations[station].pk, int(shop.axis.begins[0]), int(shop.axis.ends[end])))
    if not rows:
        return no_rows()
    station, begins, ends = np.array(rows, dtype=np.int64).T
    return no_rows(len(rows))._replace(station=station, rest_at=station, rest_begins=begins, rest_ends=ends)


def summary(line: Line, plan: Plan) -> dict[str, float | int]:
    """What is said of a plan beside its cost: orders, how many late, the worst and the sum, in working days."""
    late = days_late(line.problem, plan)
    counts = line.problem.work.weight > 0
    return {
        "tasks": len(line.problem.work),
        "orders": len(line.order_leaves()),
        "late": int(np.count_nonzero(late[counts] > 0)),
        "worst_days": round(float(late[counts].max(initial=0)), 1),
    }


def told(refused: PlanRefused, line: Line) -> str:
    """A refusal with operations and serials in place of row numbers."""
    said = []
    for problem in refused.problems[:3]:
        kind, *rest = problem.field.split(".")
        row = int(rest[0]) if kind == "tasks" and rest and rest[0].isdigit() else None
        said.append(f"{_named(line, row)}: {problem.message}" if row is not None else str(problem))
    return "; ".join(said)


def _named(line: Line, row: int) -> str:
    if row < len(line.backlog.operations):
        serial = Build.objects.filter(pk=int(line.keys["build"][row])).values_list("serial", flat=True).first()
        return f"{serial} {_(line.backlog.operations[row])}"
    booking, work = next((b, w) for b, w in line.bookings if b.pk == int(line.keys["booking"][row]))
    return (
        _("booking of {day}").format(day=booking.at.date())
        + f" {_(work.tasks[int(line.keys['position'][row])].operation)}"
    )
