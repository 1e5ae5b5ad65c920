"""The page of load: hours planned against hours there are, and the station that holds everything up, in words."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import numpy as np
from django.db.models import Count, Sum
from django.utils import timezone
from django.utils.functional import cached_property
from django.utils.translation import gettext as _

from routing.attendance import Absence
from routing.models import TaskState
from routing.planning.capacity import WAITS_ONLY, shop_capacity
from routing.planning.loading import NEAR, Load, Loads, tightest
from routing.planning.timetable import Timetable, outlooks, published_timetable
from routing.queries import live_tasks
from routing.said import DESKS as OFFICE
from routing.said import day_said
from shop.people.models import Person

WEEKS = (8, 13)
DESKS = (*OFFICE, "drawing-and-cnc-programming")
LEAST_H = 1.0
"""Fewer hours than this are not worth a sentence."""


class LoadPage:
    """Everything the page shows; read in a fixed number of queries, the plan itself once a version."""

    def __init__(self, now: datetime, weeks: int = WEEKS[0]) -> None:
        self.now, self.today, self.weeks = now, timezone.localdate(now), weeks
        self.plan: Timetable | None = published_timetable()
        if self.plan is None:
            return
        self.shop = shop_capacity(now, 7 * (weeks + 1))
        self.loads = Loads(self.plan, self.shop, self.today, weeks)
        self.people = {person.pk: str(person) for person in Person.objects.filter(pk__in=self.shop.crew.people)}
        self.by_station = sorted(self.loads.of_stations(), key=lambda load: -load.share)
        self.by_person = sorted(self.loads.of_people(self.people), key=lambda load: -load.share)
        self.late = {one.build: one.promise for one in outlooks(self.plan.plan) if one.promise and one.late_days > 0}

    @property
    def mondays(self) -> list[date]:
        """The first day of each week shown."""
        return self.loads.mondays[:-1]

    @cached_property
    def tightest(self) -> Load | None:
        """The station where hands work that has least to spare."""
        waits = {station.pk for station in self.shop.crew.stations if station.slug in WAITS_ONLY}
        return tightest([load for load in self.by_station if load.key not in waits])

    @property
    def reasons(self) -> list[tuple[str, str]]:
        """Each reason of the bottleneck: a word and a sentence."""
        held = self.tightest
        if held is None:
            return []
        found = [(_("Load"), self._load_said(held)), (_("Queue"), self._queue_said(held)),
                 (_("Missing"), self._missing_said(held)), (_("Who"), self._who_said(held))]  # fmt: skip
        return [*found, *((_("Would help"), said) for said in self._helps(held))]

    def _load_said(self, held: Load) -> str:
        return _("{hours} of {there} hours in the next {weeks} weeks are planned, {share} %").format(
            hours=round(sum(held.hours[:NEAR])), there=round(sum(held.there[:NEAR])), weeks=NEAR,
            share=round(100 * held.share),
        )  # fmt: skip

    def _queue_said(self, held: Load) -> str:
        here = live_tasks().filter(station=held.key, state=TaskState.READY, ready_at__lte=self.now).order_by()
        found = here.aggregate(count=Count("pk"), hours=Sum("usual_h"))
        one, more = _("{n} task is ready there, {hours} hours"), _("{n} tasks are ready there, {hours} hours")
        return (one if found["count"] == 1 else more).format(n=found["count"], hours=round(found["hours"] or 0))

    @cached_property
    def _missing_h(self) -> float:
        return self.loads.too_late_h(self.tightest.key, self.late) if self.tightest else 0.0

    def _missing_said(self, held: Load) -> str:
        if self._missing_h < LEAST_H:
            return _("no hour of it comes after the promise of its instrument")
        return _("{hours} hours of its work come after the promise of their instrument").format(
            hours=round(self._missing_h)
        )

    @cached_property
    def _away(self) -> dict[int, Absence]:
        until = self.today + timedelta(weeks=NEAR)
        rows = Absence.objects.filter(first__lte=until, last__gte=self.today).order_by("-first")
        return {absence.person_id: absence for absence in rows}

    def _able(self, held: Load) -> list[int]:
        crew = self.shop.crew
        row = crew.station_rows[held.key]
        return [person for person, able in zip(crew.people, crew.able[:, row].tolist(), strict=True) if able]

    def _who_said(self, held: Load) -> str:
        able = self._able(held)
        if not able:
            return _("nobody is qualified for it")
        return _("qualified: {people}").format(people=", ".join(self._person_said(person) for person in able))

    def _person_said(self, person: int) -> str:
        name, away = self.people.get(person, ""), self._away.get(person)
        if away is None:
            return name
        return _("{name} (away {first} to {last})").format(
            name=name, first=day_said(max(away.first, self.today)), last=day_said(away.last)
        )

    def _helps(self, held: Load) -> list[str]:
        if not held.is_tight:
            return [_("nothing here: it has hours to spare, so what is late waits for something else")]
        if not self.loads.hands_bind(held.key):
            return [_("one more place there: its hands have hours to spare, its places none")]
        overtime = _("about {hours} hours of overtime there, before the promises they miss")
        return [*([overtime.format(hours=round(self._missing_h))] if self._missing_h >= LEAST_H else []),
                self._another(held)]  # fmt: skip

    def _another(self, held: Load) -> str:
        """Who works with wood already, is not qualified for it, and has most hours to spare."""
        able, crew = set(self._able(held)), self.shop.crew
        benches = np.array([station.slug not in DESKS for station in crew.stations], dtype=bool)
        others = {person for person, row in zip(crew.people, crew.able, strict=True) if row[benches].any()} - able
        spare = [(sum(load.there[:NEAR]) - sum(load.hours[:NEAR]), load.name)
                 for load in self.by_person if load.key in others]  # fmt: skip
        hours, name = max(spare, default=(0.0, ""))
        if hours < LEAST_H:
            return _("one more person qualified for it")
        return _("another pair of hands qualified for it: {name} has {hours} hours to spare").format(
            name=name, hours=round(hours)
        )
