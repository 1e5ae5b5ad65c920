"""What the shop has lived: when instruments came, were released and left."""

from __future__ import annotations

from datetime import datetime

from django.db.models.functions import Coalesce

from routing.ahead import DESPATCH, on_the_floor
from routing.catalogue import operation
from routing.flow import Passage
from routing.models import Task, TaskState

LEAVES = (DESPATCH, operation("Series stock or despatch").name)
"""The operations an instrument leaves the shop by."""


def passages(since: datetime, line: str = "") -> list[Passage]:
    """Instruments that left since then, first to last, and those on the floor; two queries.

    What a partner built comes to the floor when its batch is counted in, everything else when it is released.
    """
    left = Task.objects.filter(operation__in=LEAVES, state=TaskState.DONE, done_at__gte=since)
    standing = on_the_floor()
    if line:
        left, standing = left.filter(build__line=line), standing.filter(line=line)
    gone = left.order_by("done_at", "pk").annotate(came=Coalesce("build__batch__received_at", "build__released_at"))
    here = standing.order_by("pk").annotate(came=Coalesce("batch__received_at", "released_at"))
    return [
        *(Passage(*row) for row in gone.values_list("build__serial", "build__made_at", "came", "done_at")),
        *(Passage(*row) for row in here.values_list("serial", "made_at", "came")),
    ]
