"""What the shop has lived: when instruments came, were released and left."""

from __future__ import annotations

from datetime import datetime

from routing.ahead import DESPATCH, in_the_shop
from routing.catalogue import operation
from routing.flow import Passage
from routing.models import Task, TaskState

LEAVES = (DESPATCH, operation("Series stock or despatch").name)
"""The operations an instrument leaves the shop by."""

LEFT = ("build__serial", "build__made_at", "build__released_at", "done_at")


def passages(since: datetime, line: str = "") -> list[Passage]:
    """Instruments that left since then, first to last, and those on the floor; two queries."""
    of_line = {"build__line": line} if line else {}
    left = Task.objects.filter(operation__in=LEAVES, state=TaskState.DONE, done_at__gte=since, **of_line)
    standing = in_the_shop().exclude(released_at=None).filter(**({"line": line} if line else {}))
    return [
        *(Passage(*row) for row in left.order_by("done_at", "pk").values_list(*LEFT)),
        *(Passage(*row) for row in standing.order_by("released_at").values_list("serial", "made_at", "released_at")),
    ]
