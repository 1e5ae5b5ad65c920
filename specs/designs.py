"""How a design goes on: written down as an idea, moved from stage to stage with a reason."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from specs.errors import Refused, WrongState
from specs.models import Pattern, PatternMove, Stage
from specs.parsing import parse

IN_HAND = (Stage.IDEA, Stage.DRAWING, Stage.PROTOTYPE, Stage.TRIAL)
"""Stages of a design that is worked at and not yet offered."""


@transaction.atomic
def add_idea(*, name: str, about: str, document: Mapping[str, Any], line: str, person: Any, now: datetime) -> Pattern:
    """A new design at its first stage, with the choices it begins from.

    Raises ``Refused`` for a document that is no instrument, or a name that is missing or taken.
    """
    instrument = parse(document)
    if not name.strip() or Pattern.objects.filter(name=name.strip()).exists():
        raise Refused.one("name", "taken", _("Give the design a name no other has."))
    made = Pattern.objects.create(
        name=name.strip(), about=about.strip(), document=dict(document), line=line,
        strings=instrument.strings.count, stage=Stage.IDEA,
    )  # fmt: skip
    _log(made, "", Stage.IDEA, _("written down"), person, now)
    return made


@transaction.atomic
def move_pattern(*, pattern: Pattern, was: str, stage: str, reason: str, person: Any, now: datetime) -> Pattern:
    """A design on another stage, in either direction: one winner.

    Raises ``WrongState`` where it no longer stands at ``was``, moves nowhere or no reason is given, ``Refused`` where
    it is to be offered and its document is no instrument any more.
    """
    if not reason.strip():
        raise WrongState(_("Say the reason in a few words; nothing was changed."))
    if stage == was or stage not in Stage.values:
        raise WrongState(_("Choose the stage the design goes to; nothing was changed."))
    if stage == Stage.OFFERED:
        parse(pattern.document)
    if not Pattern.objects.filter(pk=pattern.pk, stage=was).update(stage=stage):
        pattern.refresh_from_db()
        raise WrongState(
            _("{name} was moved meanwhile: {stage}.").format(name=pattern, stage=pattern.get_stage_display())
        )
    _log(pattern, was, stage, reason.strip()[:300], person, now)
    pattern.refresh_from_db()
    return pattern


def _log(pattern: Pattern, was: str, stage: str, reason: str, person: Any, now: datetime) -> None:
    PatternMove.objects.create(pattern=pattern, was=was, stage=stage, reason=reason, person=person, at=now)
