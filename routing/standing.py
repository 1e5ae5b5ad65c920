"""How many instruments stand at each place of the floor now, against its limit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from routing.limits import BATCHES, CURE_RACK, PLACES, FloorLimit, Place
from routing.models import Task, TaskState
from routing.queries import live_tasks
from routing.said import listed
from specs.errors import Refused

MOST = 999
COLUMNS = ("build__serial", "build__batch__number", "operation", "state", "ready_at")
_PLACE_OF = {name: place for place in PLACES for name in place.operations}


@dataclass(frozen=True)
class Standing:
    """What stands at a place now, by serial, against its limit."""

    place: Place
    limit: int
    serials: tuple[str, ...]

    @property
    def count(self) -> int:
        return len(self.serials)

    @property
    def is_over(self) -> bool:
        return self.count > self.limit

    @property
    def is_full(self) -> bool:
        return self.count >= self.limit


def floor_now(now: datetime) -> tuple[Standing, ...]:
    """Every place with what stands there, in the order of the floor; two queries.

    An instrument stands wherever a task of it can be taken up, is on a bench, held, or waits; neck and body of one
    may stand at two places. While its coat cures it hangs on the rack.
    """
    own = dict(FloorLimit.objects.values_list("place", "most"))
    there: dict[str, set[str]] = {place.slug: set() for place in PLACES}
    for serial, batch, name, state, ready_at in _released().values_list(*COLUMNS):
        place = _place_of(name, waits=state == TaskState.READY and ready_at > now)
        if place is not None:
            there[place.slug].add(batch if batch and place.counts == BATCHES else serial)
    return tuple(
        Standing(place, own.get(place.slug, place.limit), tuple(sorted(there[place.slug]))) for place in PLACES
    )


def _released() -> QuerySet[Task]:
    return live_tasks().filter(build__released_at__isnull=False).order_by("build_id", "position")


def _place_of(name: str, *, waits: bool) -> Place | None:
    """The place a live task stands at; what only the end of a cure keeps back hangs on the rack."""
    row = listed(name)
    if waits and row is not None and set(CURE_RACK.operations) & set(row.after):
        return CURE_RACK
    return _PLACE_OF.get(name)


@transaction.atomic
def set_limit(*, place: str, most: int) -> FloorLimit:
    """Set the limit of a place. Raises ``Refused`` for a place nobody knows or a limit under 1 or over 999."""
    if place not in {known.slug for known in PLACES}:
        raise Refused.one("place", "unknown", _("There is no such place on the floor."))
    if not 1 <= most <= MOST:
        raise Refused.one("most", "range", _("A limit is a whole number from 1 to 999."))
    return FloorLimit.objects.update_or_create(place=place, defaults={"most": most})[0]
