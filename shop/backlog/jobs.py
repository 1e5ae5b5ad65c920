"""What the backlog has worked out in the background: the hours finished work asks for."""

from __future__ import annotations

from django.utils import timezone
from django.utils.translation import gettext as _

from routing.catalogue import OPERATIONS
from routing.estimating import propose
from routing.jobs import Progress, job
from routing.planning.rota import shop_calendar

LEARN = "estimates from finished work"
TIMED = tuple(row for row in OPERATIONS if row.touch_h.usual > 0)


@job(LEARN)
def propose_estimates(progress: Progress) -> dict[str, int]:
    """Every operation's proposals brought up to date; run again, it comes to the same."""
    now, calendar, stand = timezone.now(), shop_calendar(), 0
    for place, operation in enumerate(TIMED):
        progress.set(100 * place // len(TIMED), _(operation.name))
        stand += propose(operation, calendar, now)
    return {"proposals": stand}
