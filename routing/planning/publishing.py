"""How a made plan is kept: looked at by the independent checker first, then published or not, with the reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import numpy as np
from django.db import transaction
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from routing.errors import WrongState
from routing.models import Booking, Build, Plan, PlannedBuild
from routing.plan.checker import violations
from routing.planning.making import Line, Made, as_rows, summary
from routing.planning.published import lock_published, move_on
from routing.planning.stored import pack
from routing.plans import PlanKind

KEPT_VERSIONS = 60
SAID = 300


class PlanBroken(WrongState):
    """A plan the checker finds fault with: it is never published."""


@dataclass(frozen=True)
class Decision:
    """Whether a plan is to be published, and why or why not, in words."""

    publish: bool
    reason: str


def decide(cost: float, kept: float | None, broken: str, better_by: float) -> Decision:
    """Publish where there was nothing, where what was published broke, or where the new one is clearly better.

    ``kept`` is the cost of carrying on as published, ``better_by`` the least share of it to be won.
    """
    if kept is None:
        return Decision(True, _("the first plan"))
    gain = 0.0 if kept <= 0 else (kept - cost) / kept
    if broken:
        return Decision(True, _("the published plan no longer holds: {why}").format(why=broken))
    if cost < kept and gain >= better_by:
        return Decision(True, _("better by {share} %").format(share=round(100 * gain)))
    won = _("better by {share} % only").format(share=round(100 * gain, 1)) if gain > 0 else _("no better")
    return Decision(False, _("{won} than the published plan carried on").format(won=won))


def require_sound(line: Line, plan: Any) -> None:
    """Raises ``PlanBroken`` with what the independent checker finds."""
    if found := violations(line.problem, plan):
        raise PlanBroken(
            _("The plan was not kept: {n} faults, the first: {first}").format(n=len(found), first=found[0])
        )


def keep_plan(
    *, line: Line, made: Made, kind: str, decision: Decision, based_on: int | None, person: Any, now: datetime
) -> Plan:
    """A new version, and where decided the published one. Raises ``PlanBroken``; nothing is kept then."""
    require_sound(line, made.plan)
    rows = pack(as_rows(line, made.plan))
    with transaction.atomic():
        kept = Plan.objects.create(
            kind=kind, made_at=now, asked_by=person, based_on_id=based_on, cost=made.cost,
            summary=summary(line, made.plan) | {"how": made.how}, rows=rows, reason=decision.reason[:SAID],
        )  # fmt: skip
        _keep_builds(kept, line, made)
        if decision.publish:
            publish_plan(plan=kept, now=now)
        _forget_old()
    return kept


@transaction.atomic
def publish_plan(*, plan: Plan, now: datetime, reason: str = "") -> Plan:
    """Make a kept plan the one that counts. Raises ``WrongState`` for a trial."""
    row = lock_published()
    if plan.kind == PlanKind.TRIAL:
        raise WrongState(_("A trial plan is for looking at; it is not published."))
    plan.published_at = now
    plan.reason = reason[:SAID] or plan.reason
    plan.save(update_fields=["published_at", "reason"])
    move_on(row, now, plan=plan)
    return plan


def _keep_builds(kept: Plan, line: Line, made: Made) -> None:
    starts, ends = _spans(line, made)
    order_end = np.zeros(len(line.problem.work.release), dtype=np.int64)
    np.maximum.at(order_end, line.problem.work.order, ends)
    leaves = line.order_leaves()
    firsts, lasts = _by_key(line, starts, np.minimum), _by_key(line, ends, np.maximum)
    known = set(Build.objects.filter(pk__in=[build for build, _b in lasts if build]).values_list("pk", flat=True))
    booked = set(Booking.objects.filter(pk__in=[pk for _b, pk in lasts if pk]).values_list("pk", flat=True))
    PlannedBuild.objects.bulk_create(
        PlannedBuild(
            plan=kept, build_id=build or None, booking_id=booking or None,
            starts=_moment(firsts[build, booking]), ends=_moment(lasts[build, booking]),
            leaves=_moment(int(order_end[leaves[build, booking]])) if (build, booking) in leaves else None,
        )
        for build, booking in lasts
        if build in known or booking in booked
    )  # fmt: skip


def _spans(line: Line, made: Made) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    axis = line.problem.axis
    begins = np.append(axis.begins, axis.ends[-1:])[made.plan.start]
    after = np.concatenate((axis.begins[:1], axis.ends))[made.plan.end]
    return begins, np.where(made.plan.end > made.plan.start, after, begins)


def _by_key(line: Line, minutes: NDArray[np.int64], pick: np.ufunc) -> dict[tuple[int, int], int]:
    """The least or greatest minute of each build or booking."""
    pairs = np.stack((line.keys["build"], line.keys["booking"]))
    unique, at = np.unique(pairs, axis=1, return_inverse=True)
    found = np.full(unique.shape[1], np.iinfo(np.int64).max if pick is np.minimum else 0, dtype=np.int64)
    pick.at(found, at, minutes)
    return {(build, booking): minute for build, booking, minute in zip(*unique.tolist(), found.tolist(), strict=True)}


def _moment(minute: int) -> datetime:
    return datetime.fromtimestamp(60 * minute, UTC)


def _forget_old() -> None:
    """Keep the last versions, and the published one."""
    old: Sequence[int] = Plan.objects.exclude(kind=PlanKind.TRIAL).values_list("pk", flat=True)[KEPT_VERSIONS:]
    published = lock_published().plan_id
    Plan.objects.filter(pk__in=[pk for pk in old if pk != published]).delete()
