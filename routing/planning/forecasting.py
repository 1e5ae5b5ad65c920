"""The forecast of the published plan: made in the background, kept with the plan, read by pages and promises."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from typing import Any

import numpy as np
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from routing.expected import REWORK, TICKS_AN_HOUR
from routing.jobs import Progress, ask, job
from routing.models import Job, JobState, Plan, PlannedBuild, Task
from routing.plan.forecast import Forecast, Known, Spread, cv_of, forecast
from routing.plan.margin import MarginTable, margin_table
from routing.plan.problem import Ticks
from routing.planning.making import Line, read_line
from routing.planning.published import NoPlan, lock_published, move_on, open_bookings, pointer, rows_of_plan
from routing.rota import EPOCH

FORECAST = "forecast"
KEPT = "forecast"
"""Where a plan's summary has its forecast."""

UNDER_WAY = (JobState.QUEUED, JobState.RUNNING)
WEEKS = 26
COATS = ("Clear coats", "Cure,")
"""How operations begin whose redoing means another cure."""

SPREAD = Spread(redone=REWORK - 1, redone_coats=REWORK - 1, planned_redone=REWORK - 1)
"""What a plan does not know of this shop; rework as often as planned hours count it."""


def ask_forecast(person: Any = None) -> Job:
    """A forecast of what is published; the one under way where there is one already."""
    with transaction.atomic():
        lock_published()
        known = Job.objects.filter(kind=FORECAST, state__in=UNDER_WAY).first()
        return known or ask(FORECAST, person=person)


@job(FORECAST)
def forecast_plan(progress: Progress) -> dict[str, Any]:
    """Two hundred replications of what is published; run again, it comes to the same. Raises ``NoPlan``."""
    now, plan = timezone.now(), pointer().plan_id
    if plan is None:
        raise NoPlan(_("No plan is published yet; the first one is made in the background."))
    progress.set(2, _("reading the backlog"))
    line = read_line(now, rows_of_plan(plan), list(open_bookings().select_related("spec")))
    found = forecast(
        line.problem, SPREAD, known_of(line), seed=plan, weeks=_week(line),
        progress=lambda share: progress.set(5 + int(90 * share), _("working through what may happen")),
    )  # fmt: skip
    return {"plan": plan, "orders": keep_forecast(plan=plan, line=line, found=found, now=now)}


def known_of(line: Line) -> Known:
    """The spread of each task between its low and high hours; which are clear coats."""
    open_tasks = Task.objects.filter(pk__in=Task.objects.open().values("pk"), build__finished_at=None)
    hours = {pk: (low, high) for pk, low, high in open_tasks.values_list("pk", "low_h", "high_h")}
    pairs = [hours.get(pk, (0.0, 0.0)) for pk in line.backlog.tasks.tolist()]
    names = list(line.backlog.operations)
    for _booking, work in line.bookings:
        pairs += [(task.touch_h[0], task.touch_h[2]) for task in work.tasks]
        names += [task.operation for task in work.tasks]
    low, high = np.array(pairs, dtype=float).reshape(-1, 2).T
    return Known(cv=cv_of(low, high), coats=np.array([name.startswith(COATS) for name in names], dtype=bool))


def _week(line: Line) -> NDArray[np.int64]:
    """The week of each tick; day 0 of the count is a Thursday."""
    return (line.backlog.shop.local_day + 3) // 7


@transaction.atomic
def keep_forecast(*, plan: int, line: Line, found: Forecast, now: datetime) -> int:
    """Write percentiles and chances beside the plan's builds, loads and margins into its summary; how many builds."""
    row = lock_published()
    leaves = line.order_leaves()
    rows = [each for each in PlannedBuild.objects.filter(plan=plan) if _key(each) in leaves and each.leaves]
    order = np.array([leaves[_key(each)] for each in rows], dtype=np.int64)
    _fill(rows, order, line, found)
    PlannedBuild.objects.bulk_update(rows, ["p50", "p80", "p95", "kept_chance"], batch_size=500)
    kept = Plan.objects.select_for_update().only("summary").get(pk=plan)
    kept.summary = kept.summary | {KEPT: _summary(rows, order, line, found, now)}
    kept.save(update_fields=["summary"])
    move_on(row, now)
    return len(rows)


def _key(row: PlannedBuild) -> tuple[int, int]:
    return row.build_id or 0, row.booking_id or 0


def _fill(rows: list[PlannedBuild], order: NDArray[np.int64], line: Line, found: Forecast) -> None:
    due, horizon = line.problem.work.due, len(line.problem.axis)
    half, most, nearly, chance = (*(found.percentile(level) for level in (0.5, 0.8, 0.95)), found.kept_chance(due))
    for each, at in zip(rows, order.tolist(), strict=True):
        each.p50, each.p80, each.p95 = (_moment(line, int(ticks[at])) for ticks in (half, most, nearly))
        each.kept_chance = float(chance[at]) if due[at] < horizon else None


def _moment(line: Line, tick: int) -> datetime | None:
    """When work that ends with that tick ends; None beyond the horizon."""
    ends = line.problem.axis.ends
    return datetime.fromtimestamp(60 * int(ends[max(tick - 1, 0)]), UTC) if tick <= len(ends) else None


def _summary(
    rows: list[PlannedBuild], order: NDArray[np.int64], line: Line, found: Forecast, now: datetime
) -> dict[str, Any]:
    table = _margins(rows, found.finish[order], line, now)
    return {
        "at": now.isoformat(), "replications": found.finish.shape[1],
        "margin": None if table is None else {"ahead": table.ahead, "days": table.days},
        "load": list(_loads(line, found)),
    }  # fmt: skip


def _margins(rows: list[PlannedBuild], finish: Ticks, line: Line, now: datetime) -> MarginTable | None:
    """Days beyond the plan's day, for orders so many days off."""
    day = np.append(line.backlog.shop.local_day, line.backlog.shop.local_day[-1] + 1)
    bare = np.array([timezone.localdate(each.leaves).toordinal() - EPOCH for each in rows], dtype=float)
    today = timezone.localdate(now).toordinal() - EPOCH
    beyond = day[np.maximum(finish - 1, 0)] - bare[:, None]
    return margin_table(bare - today, beyond.astype(float))


def _loads(line: Line, found: Forecast) -> Iterator[dict[str, Any]]:
    """Hours of each station and week: on average, not exceeded in four of five, and what there is of places."""
    week, shop = _week(line), line.backlog.shop
    starts = np.flatnonzero(np.diff(week, prepend=week[:1] - 1))
    places = np.add.reduceat(shop.capacity.places, starts, axis=1, dtype=np.int64)
    mean, high = found.mean_load(), found.high_load()
    mondays = [date.fromordinal(int(7 * week[at] - 3) + EPOCH).isoformat() for at in starts[:WEEKS]]
    for row, station in enumerate(shop.crew.stations):
        columns = (np.round(each[row, :WEEKS] / TICKS_AN_HOUR, 1).tolist() for each in (mean, high, places))
        yield {"station": station.slug, "weeks": list(zip(mondays, *columns, strict=True))}


def latest_forecast() -> Plan | None:
    """The newest plan with a forecast, without its rows; one query."""
    return Plan.objects.filter(summary__has_key=KEPT).exclude(kind="trial").defer("rows").order_by("-pk").first()


def forecast_margins() -> MarginTable | None:
    """What the newest forecast says of margins; None before the first."""
    plan = latest_forecast()
    kept = plan.summary[KEPT]["margin"] if plan else None
    return None if kept is None else MarginTable(tuple(kept["ahead"]), tuple(map(tuple, kept["days"])))
