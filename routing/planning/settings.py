"""The settings of promises and plans, as the manager keeps them."""

from __future__ import annotations

from datetime import datetime, time

from django.db import transaction

from routing.models import PlanSettings
from routing.planning.published import ONLY, lock_published, move_on


@transaction.atomic
def keep_settings(*, level: float, better_by: float, night_at: time, seconds: int, now: datetime) -> PlanSettings:
    """What counts from now on, for the next date given too."""
    row = lock_published()
    given = {"level": level, "better_by": better_by, "night_at": night_at, "seconds": seconds}
    kept, _made = PlanSettings.objects.update_or_create(pk=ONLY, defaults=given)
    move_on(row, now)
    return kept
