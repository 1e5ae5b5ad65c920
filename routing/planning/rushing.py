"""The rush tag: put on one instrument once its trial showed whom it delays, and lifted; one in the shop at a time."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from routing.errors import WrongState
from routing.models import Build, RushTag, Trial
from routing.plan.trial import RUSH_WEIGHT
from routing.planning.jobs import replan_after
from routing.planning.moves import Move
from routing.trials import TrialState
from specs.errors import Problem, Refused

USUAL_FEE = (15, 25)
"""Per cent of the price. **Source**: common practice, no source."""


def standing_tags() -> QuerySet[RushTag]:
    """The one rush tag that counts: not lifted, its instrument still in the shop."""
    return RushTag.objects.filter(stands=True, build__finished_at=None, build__cancelled_at=None)


@transaction.atomic
def put_rush(*, trial: Trial, reason: str, fee: str, initials: str, person: Any, now: datetime) -> RushTag:
    """The instrument of an expedite trial goes before all others from now on; cures and rests last as long as ever.

    Raises ``Refused`` for what is missing, ``WrongState`` where the trial is not worked out or decided, the
    instrument has left, or another one has the tag: one winner.
    """
    given = {"reason": reason.strip(), "fee": fee.strip(), "initials": initials.strip()}
    _require_words(given)
    mine = Trial.objects.filter(pk=trial.pk, state=TrialState.READY)
    if not mine.update(state=TrialState.KEPT, decided_by=person, decided_at=now):
        raise WrongState(_("That trial is decided, or not worked out yet."))
    build = _tagged_build(trial)
    _lift_gone(now)
    tag = _put(build, given | {"delays": delays(trial)}, person, now)
    Build.objects.filter(pk=build.pk).update(weight=int(RUSH_WEIGHT))
    replan_after()
    return tag


def _require_words(given: dict[str, str]) -> None:
    asked = {"reason": _("Say why it goes first."), "fee": _("Say what is charged for it, or why nothing is."),
             "initials": _("Sign with your initials.")}  # fmt: skip
    problems = [Problem(name, "missing", asked[name]) for name, said in given.items() if not said]
    problems += [
        Problem(name, "long", _("Shorter, please: {most} characters at most.").format(most=most))
        for name, said in given.items()
        if len(said) > (most := RushTag._meta.get_field(name).max_length)
    ]
    if problems:
        raise Refused(problems)


def _tagged_build(trial: Trial) -> Build:
    keys = [change["build"] for change in trial.changes if change["kind"] == "rush"]
    if len(keys) != 1 or len(trial.changes) != 1:
        raise WrongState(_("A rush tag is put after a trial of it alone."))
    build = Build.objects.select_for_update(of=("self",)).get(pk=keys[0])
    if build.finished_at or build.cancelled_at:
        raise WrongState(_("{serial} has left the shop.").format(serial=build))
    return build


def _lift_gone(now: datetime) -> None:
    """A tag whose instrument has left stands in nobody's way."""
    kept = standing_tags().values("pk")
    gone = RushTag.objects.filter(stands=True).exclude(pk__in=kept)
    gone.update(stands=False, lifted_at=now, lifted_because=_("left the shop"))


def _put(build: Build, given: dict[str, Any], person: Any, now: datetime) -> RushTag:
    try:
        with transaction.atomic():
            return RushTag.objects.create(build=build, put_by=person, put_at=now, weight_before=build.weight, **given)
    except IntegrityError:
        holder = RushTag.objects.filter(stands=True).select_related("build").first()
        raise WrongState(_("{serial} has the rush tag; only one instrument has it. Lift it first.").format(
            serial=holder.build if holder else "–")) from None  # fmt: skip


def delays(trial: Trial) -> list[dict[str, int]]:
    """Whom the trial delays and by how many days, the most first."""
    moves = [Move(*row) for row in trial.result.get("moves", ())]
    return [{"build": move.build, "booking": move.booking, "days": move.days} for move in moves if move.days > 0]


@transaction.atomic
def lift_rush(*, tag: RushTag, reason: str, person: Any, now: datetime) -> RushTag:
    """The instrument takes its place in line again. Raises ``WrongState`` where it was lifted before."""
    changes = {"stands": False, "lifted_by": person, "lifted_at": now, "lifted_because": reason.strip()[:300]}
    if not RushTag.objects.filter(pk=tag.pk, stands=True).update(**changes):
        raise WrongState(_("That rush tag was lifted already."))
    fresh = RushTag.objects.select_related("build").get(pk=tag.pk)
    Build.objects.filter(pk=fresh.build_id).update(weight=fresh.weight_before)
    replan_after()
    return fresh
