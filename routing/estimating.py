"""How hours follow finished work: which estimates count for a build, what is proposed, what a manager decides."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby
from typing import Any

from django.db import transaction
from django.db.models import QuerySet, Sum
from django.utils.translation import gettext as _

from routing.adjustments import (
    EstimateTable,
    adjusted_touch_h,
    condition_of,
    is_conditional,
    touch_under,
)
from routing.catalogue import Operation, Touch
from routing.catalogue import operation as catalogued
from routing.errors import WrongState
from routing.estimates import Estimate, EstimateProposal, ProposalState
from routing.learning import (
    FEWEST,
    HIGH,
    LOW,
    Evidence,
    is_worth_saying,
    percentile,
    proposed,
    sifted,
    stints,
    worked_h,
)
from routing.models import Build, EventKind, Kind, Task, TaskEvent, TaskState
from routing.said import moment_said
from routing.workdays import WorkCalendar
from specs.facts import OrderFacts

NEWEST = 200
"""Finished tasks of an operation that are looked at, the newest first."""

LEARNED_FROM = timedelta(days=2 * 365)
"""Older work was done by other hands with other jigs. **Source**: common practice, no source."""

_HOURS = ("low_h", "usual_h", "high_h")


def estimate_table(made_at: datetime | None = None) -> EstimateTable:
    """The accepted hours that count for a new build; for one made at that moment, those accepted by then and those
    accepted since for work not yet started; one query."""
    return _table(Estimate.objects.order_by("pk"), made_at)


def _table(rows: Iterable[Estimate], made_at: datetime | None) -> EstimateTable:
    counting = (row for row in rows if made_at is None or row.at <= made_at or row.open_too)
    newest = {(row.operation, row.condition): Touch(row.low_h, row.usual_h, row.high_h) for row in counting}
    return EstimateTable(tuple((*key, hours) for key, hours in newest.items()))


def facts_of_build(build: Build) -> OrderFacts:
    """What decided the tasks of a build beside its spec."""
    return OrderFacts(line=build.line, export=build.export, permit=build.permit)


@dataclass(frozen=True)
class Lived:
    """A finished task: hands-on hours, or None where no start was pressed, and when it was done."""

    hours: float | None
    done_at: datetime


def lived(operation: Operation, calendar: WorkCalendar, now: datetime) -> dict[str, list[Lived]]:
    """The newest finished tasks of an operation by condition; two queries."""
    tasks = Task.objects.filter(operation=operation.name, state=TaskState.DONE, done_at__gte=now - LEARNED_FROM)
    related = "build__spec" if is_conditional(operation.name) else "build"
    tasks = tasks.exclude(build__kind=Kind.STOCK).select_related(related)
    newest = list(tasks.order_by("-done_at", "-pk")[:NEWEST])
    hours = _worked(newest, calendar)
    found: dict[str, list[Lived]] = {}
    for task in newest:
        condition = _condition(operation, task.build)
        found.setdefault(condition, []).append(Lived(hours.get(task.pk), task.done_at))
    return found


def _condition(operation: Operation, build: Build) -> str:
    if not is_conditional(operation.name):
        return ""
    return condition_of(operation.name, build.spec.build_spec(), facts_of_build(build))


def _worked(tasks: Sequence[Task], calendar: WorkCalendar) -> dict[int, float]:
    """Hours of each task somebody started, from its log without what was taken back."""
    log = TaskEvent.objects.filter(task__in=[task.pk for task in tasks], undone_by=None)
    rows = log.exclude(kind=EventKind.UNDONE).order_by("task_id", "at", "pk").values_list("task_id", "kind", "at")
    timed = {
        task: stints((kind, at) for _task, kind, at in presses) for task, presses in groupby(rows, lambda row: row[0])
    }
    return {task: worked_h(times, calendar) for task, times in timed.items() if times}


def propose(operation: Operation, calendar: WorkCalendar, now: datetime) -> int:
    """Bring the proposals of one operation up to what its finished work says; how many stand now."""
    table = estimate_table()
    return sum(
        _propose(operation, condition, tasks, table, now)
        for condition, tasks in lived(operation, calendar, now).items()
    )


@transaction.atomic
def _propose(operation: Operation, condition: str, tasks: Sequence[Lived], table: EstimateTable, now: datetime) -> bool:
    evidence = sifted(task.hours for task in tasks)
    asked = proposed(evidence, touch_under(operation, condition))
    present = touch_under(operation, condition, table)
    mine = {"operation": operation.name, "condition": condition, "state": ProposalState.PROPOSED}
    if asked is None or not is_worth_saying(asked, present) or _declined_lately(operation, condition, tasks):
        EstimateProposal.objects.filter(**mine).delete()
        return False
    kept = dict(zip(_HOURS, asked, strict=True)) | {"computed_at": now}
    kept["evidence"] = _evidence(evidence, present) | _ahead(operation, condition, asked)
    EstimateProposal.objects.update_or_create(**mine, defaults=kept)
    return True


def _declined_lately(operation: Operation, condition: str, tasks: Iterable[Lived]) -> bool:
    """Whether a manager said no and too little has been finished since to ask again."""
    said_no = EstimateProposal.objects.filter(
        operation=operation.name, condition=condition, state=ProposalState.DECLINED
    )
    last = said_no.order_by("-decided_at").first()
    return last is not None and sum(task.done_at > last.decided_at for task in tasks) < FEWEST


def _evidence(evidence: Evidence, present: Touch) -> dict[str, Any]:
    return {
        "count": len(evidence.kept),
        "median_h": evidence.median,
        "spread_h": [percentile(evidence.kept, LOW), percentile(evidence.kept, HIGH)],
        "kept_h": [round(hour, 3) for hour in evidence.kept],
        "far_off_h": [round(hour, 3) for hour in evidence.far_off],
        "untimed": evidence.untimed,
        "pressed_together": evidence.pressed_together,
        "before_h": list(present),
    }


def _ahead(operation: Operation, condition: str, asked: Touch) -> dict[str, Any]:
    """How many tasks not yet started the hours would change, and by how much in all."""
    rows = unstarted(operation.name)
    if not is_conditional(operation.name):
        count = rows.count()
        present = rows.aggregate(hours=Sum("usual_h"))["hours"] or 0.0
        return {"ahead": count, "ahead_h": count * asked.usual - present}
    like = [task for task in rows.select_related("build__spec") if _condition(operation, task.build) == condition]
    return {"ahead": len(like), "ahead_h": sum(asked.usual - task.usual_h for task in like)}


def unstarted(operation: str) -> QuerySet[Task]:
    """Tasks of that operation nobody has had on a bench, of builds that go on."""
    waiting = Task.objects.open().filter(operation=operation, started_at=None)
    return waiting.filter(build__finished_at=None, build__cancelled_at=None)


@transaction.atomic
def accept_proposal(*, proposal_id: int, computed_at: datetime, open_too: bool, person: Any, now: datetime) -> Estimate:
    """New builds get the proposed hours from now on; ``open_too`` gives them to work not yet started as well.

    Raises ``WrongState`` where somebody decided meanwhile, or the proposal is not the one that was shown.
    """
    found = _decide(proposal_id, computed_at, state=ProposalState.ACCEPTED, decided_by=person, decided_at=now)
    hours = {name: getattr(found, name) for name in _HOURS}
    made = Estimate.objects.create(
        operation=found.operation, condition=found.condition, evidence=found.evidence,
        open_too=open_too, accepted_by=person, at=now, **hours,
    )  # fmt: skip
    if open_too:
        _give_to_open(catalogued(found.operation))
    return made


def _give_to_open(operation: Operation) -> None:
    """Every task not yet started the hours its build now asks for."""
    tasks = list(unstarted(operation.name).select_related("build__spec").select_for_update(of=("self",)))
    estimates = list(Estimate.objects.filter(operation=operation.name).order_by("pk"))
    for task in tasks:
        table = _table(estimates, task.build.made_at)
        spec, facts = task.build.spec.build_spec(), facts_of_build(task.build)
        task.low_h, task.usual_h, task.high_h = adjusted_touch_h(operation, spec, facts, table)
    Task.objects.bulk_update(tasks, _HOURS, batch_size=200)


@transaction.atomic
def decline_proposal(
    *, proposal_id: int, computed_at: datetime, reason: str, person: Any, now: datetime
) -> EstimateProposal:
    """The hours stay; asked again only when more work is finished. Raises ``WrongState`` as accepting does."""
    if not reason.strip():
        raise WrongState(_("Say the reason in a few words; nothing was changed."))
    return _decide(
        proposal_id, computed_at, state=ProposalState.DECLINED, decided_by=person, decided_at=now,
        reason=reason.strip()[:300],
    )  # fmt: skip


def _decide(proposal_id: int, computed_at: datetime, **decided: Any) -> EstimateProposal:
    mine = EstimateProposal.objects.filter(pk=proposal_id, state=ProposalState.PROPOSED, computed_at=computed_at)
    if not mine.update(**decided):
        raise WrongState(_undecidable(proposal_id))
    return EstimateProposal.objects.get(pk=proposal_id)


def _undecidable(proposal_id: int) -> str:
    now = EstimateProposal.objects.select_related("decided_by").filter(pk=proposal_id).first()
    if now is None:
        return _("That proposal no longer stands: finished work does not ask for it any more.")
    if now.state == ProposalState.PROPOSED:
        return _("The proposal was worked out again meanwhile; look at its figures as they are now.")
    return _("{operation}: {state} by {person}, {at}.").format(
        operation=_(now.operation), state=now.get_state_display(), person=now.decided_by, at=moment_said(now.decided_at)
    )
