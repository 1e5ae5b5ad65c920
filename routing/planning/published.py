"""The published plan as processes read it: its rows, and what it leaves of the shop, kept until anything changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from threading import Lock
from typing import Any

import numpy as np
from django.db.models import Exists, F, OuterRef
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.errors import WrongState
from routing.models import Booking, Plan, PlannedBuild, PlanSettings, PublishedPlan
from routing.plan.problem import Problem, Work
from routing.plan.quote import Profile, empty_profile, lay
from routing.planning.capacity import ShopCapacity, shop_capacity
from routing.planning.stored import PlanRows, no_rows, taken_of, unpack

ONLY = 1
HORIZON_DAYS = 730
BEYOND_DAYS = 400
"""A plan's profile reaches so far beyond its last task: room for an order at the end of the line."""


class NoPlan(WrongState):
    """No plan is published yet, so no date can be promised."""


@dataclass(frozen=True, eq=False)
class Standing:
    """What quotes are laid into: the profile with every booking; ``first`` has only what has begun or begins today;
    ``laid`` names what already lies in the plan or was booked since."""

    version: int
    plan: int
    day: date
    shop: ShopCapacity
    profile: Profile
    first: Profile
    known: dict[str, Any] = field(default_factory=dict, repr=False)
    """What was read or worked out under this version, kept for the next who asks."""
    _more: dict[int, Profile] = field(default_factory=dict, repr=False)

    def with_one_more(self, station: int) -> Profile:
        """The profile with a place and a person more at the station."""
        if station not in self._more:
            self._more[station] = self.profile.with_one_more(station)
        return self._more[station]

    def problem_of(self, work: Work) -> Problem:
        """That work in this shop."""
        return Problem(self.profile.axis, self.profile.capacity, work)


_kept: Standing | None = None
_making = Lock()


def pointer() -> PublishedPlan:
    """The row that says what is published; made where it is missing."""
    return PublishedPlan.objects.get_or_create(pk=ONLY)[0]


def lock_published() -> PublishedPlan:
    """That row, kept from everybody else until the transaction ends."""
    pointer()
    return PublishedPlan.objects.select_for_update().get(pk=ONLY)


def move_on(row: PublishedPlan, now: datetime, **changes: object) -> None:
    """A new version of what is published. Raises ``WrongState`` where somebody was there first all the same."""
    moved = PublishedPlan.objects.filter(pk=ONLY, version=row.version)
    if not moved.update(version=F("version") + 1, changed_at=now, **changes):
        raise WrongState(_("The plan changed meanwhile; look at it again."))
    row.refresh_from_db()


def plan_settings() -> PlanSettings:
    """What the manager set, or what is usual; one query."""
    return PlanSettings.objects.filter(pk=ONLY).first() or PlanSettings(pk=ONLY)


def open_bookings() -> Sequence[Booking]:
    """Promises given to orders that have no build yet, in the order they were accepted."""
    return Booking.objects.filter(build=None, withdrawn_at=None).order_by("pk")


def rows_of_plan(plan: int | None) -> PlanRows:
    """The rows of a plan; none where there is no plan; one query."""
    kept = Plan.objects.filter(pk=plan).values_list("rows", flat=True).first() if plan else None
    return no_rows() if kept is None else unpack(bytes(kept))


def standing(now: datetime, row: PublishedPlan | None = None) -> Standing:
    """What quotes are laid into now; read from the database once a version and day in each process.

    Raises ``NoPlan`` before the first plan is published.
    """
    global _kept
    row = row or PublishedPlan.objects.filter(pk=ONLY).first()
    if row is None or row.plan_id is None:
        raise NoPlan(_("No plan is published yet; the first one is made in the background."))
    day = timezone.localdate(now)
    kept = _kept
    if kept is None or (kept.version, kept.plan, kept.day) != (row.version, row.plan_id, day):
        with _making:
            kept = _kept = _read(row, now, day)
    return kept


def _read(row: PublishedPlan, now: datetime, day: date) -> Standing:
    rows = rows_of_plan(row.plan_id)
    minute = int(now.timestamp() // 60)
    last = int(rows.ends.max(initial=minute))
    shop = shop_capacity(now, max(HORIZON_DAYS, (last - minute) // (24 * 60) + BEYOND_DAYS))
    profile = _nobody_needed(shop)
    live = _without_withdrawn(rows)
    begun = live.where((live.task == 0) & (live.booking == 0) | (live.begins <= minute))
    full = lay(profile, taken_of(live, profile, shop))
    for booking in _booked_since(rows, row.plan_id):
        full = lay(full, taken_of(booking, profile, shop))
    return Standing(row.version, row.plan_id, day, shop, full, lay(profile, taken_of(begun, profile, shop)))


def _nobody_needed(shop: ShopCapacity) -> Profile:
    """The empty shop; at a station nobody is qualified for a place is all that counts, and orders that need it are
    refused by name."""
    needs = shop.capacity.needs_hands & shop.capacity.able.any(axis=0)
    return empty_profile(shop.axis, replace(shop.capacity, needs_hands=needs))


def _without_withdrawn(rows: PlanRows) -> PlanRows:
    """The rows without bookings that were withdrawn since."""
    booked = np.unique(rows.booking[rows.booking > 0])
    gone = Booking.objects.filter(pk__in=booked.tolist()).exclude(withdrawn_at=None).values_list("pk", flat=True)
    return rows.where(~np.isin(rows.booking, list(gone)))


def _booked_since(rows: PlanRows, plan: int) -> list[PlanRows]:
    """The places of bookings the plan knows nothing of, neither themselves nor as a build."""
    laid = np.unique(rows.booking[rows.booking > 0]).tolist()
    as_build = PlannedBuild.objects.filter(plan=plan, build=OuterRef("build"))
    kept = Booking.objects.filter(withdrawn_at=None, build__finished_at=None).exclude(pk__in=laid)
    return [
        unpack(bytes(each)) for each in kept.exclude(Exists(as_build)).order_by("pk").values_list("rows", flat=True)
    ]


def forget() -> None:
    """Let this process read everything again, as tests that take the database back must."""
    global _kept
    _kept = None
