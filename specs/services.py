"""How a spec is frozen: its completed document, digest, computed answer and the versions of the tables used."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from specs.answer import answer
from specs.canonical import complete, digest
from specs.derived import Derived, Finding
from specs.errors import WrongState
from specs.models import Spec, WeighedString
from specs.tables import load_tables


@transaction.atomic
def release_spec(*, spec: Spec, derived: Derived, findings: Iterable[Finding], now: datetime) -> Spec:
    """Freeze a revision as computed; what was typed stays beside it.

    Raises ``WrongState`` where it is released already, or was changed since ``spec`` was read.
    """
    document = complete(derived.spec)
    draft = Spec.objects.filter(pk=spec.pk, released_at=None, entered_version=spec.entered_version)
    frozen = draft.update(
        released_at=now,
        document=document,
        digest=digest(document),
        answer=answer(derived, findings),
        table_versions=dict(load_tables().versions),
    )
    if not frozen:
        raise WrongState(_("Revision {revision} was released or changed meanwhile.").format(revision=spec.revision))
    spec.refresh_from_db()
    return spec


def weigh_string(
    *, gauge_mm: float, winding: str, unit_weight_lb_in: float, person: Any, now: datetime
) -> WeighedString:  # fmt: skip
    """Note what a string weighs on the shop's own scales; earlier weighings of it stay."""
    return WeighedString.objects.create(
        gauge_mm=gauge_mm, winding=winding, unit_weight_lb_in=unit_weight_lb_in, weighed_by=person, weighed_at=now
    )
