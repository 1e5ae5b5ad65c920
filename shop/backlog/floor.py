"""The page of the floor: places against their limits, and what may be released next."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from routing.releasing import Room, candidates, in_line, room
from routing.standing import floor_now
from shop.orders.models import Order


class Floor:
    """Everything the page shows at one moment, read in a fixed number of queries.

    ``finish_from`` gives, by build, the day the plan takes it to the finish.
    """

    def __init__(self, now: datetime, finish_from: Mapping[int, date]) -> None:
        self.places = floor_now(now)
        self.room = room(self.places, now)
        self.in_line = in_line().count()
        self.line = candidates(finish_from, timezone.localdate(now))
        builds = [one.build for one in self.line]
        self.numbers = dict(Order.objects.filter(build__in=builds).values_list("build_id", "number"))

    @property
    def rows(self) -> list[tuple[object, str]]:
        """The line with the number of each order."""
        return [(one, self.numbers.get(one.build.pk, "")) for one in self.line]

    @property
    def over(self) -> int:
        return sum(place.is_over for place in self.places)

    @property
    def largest(self) -> int:
        """The longest bar of the table."""
        return max((max(place.count, place.limit) for place in self.places), default=0)

    @property
    def advice(self) -> str:
        """How many to release now, and why."""
        return _stopped(self.room) if self.room.full else _advice(self.room)


def _stopped(found: Room) -> str:
    full = ", ".join(f"{_(one.place.name)} ({one.count}/{one.limit})" for one in found.full)
    return _("Release none: {places} stands over its limit. Clear it first.").format(places=full)


def _advice(found: Room) -> str:
    if found.slots > 0:
        said = ngettext(
            "Release up to {n}: one slot is empty.", "Release up to {n}: so many slots are empty.", found.slots
        )
        return said.format(n=found.slots)
    if found.how_many:
        said = ngettext(
            "Release {n}: it takes the place of one that passed inspection this week.",
            "Release {n}: they take the places of those that passed inspection this week.",
            found.how_many,
        )
        return said.format(n=found.how_many)
    return _("Release none: no slot is empty, and nothing passed inspection that was not replaced.")
