"""How a spec is frozen: its completed document, digest, computed answer and the versions of the tables used."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from specs.answer import answer
from specs.canonical import complete, digest
from specs.derived import Derived, Finding
from specs.errors import WrongState
from specs.models import Spec
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
