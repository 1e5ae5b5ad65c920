"""Promises in doubt, with one reason each: from the published plan and its forecast, or without one from work left."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from routing.ahead import Risk, at_risk, late
from routing.models import Build
from routing.planning.holding import holdings
from routing.planning.timetable import Outlook, Timetable
from routing.said import day_said

FIRST = 5
"""Lines of each kind; the heading counts them all."""


@dataclass(frozen=True)
class Doubt:
    """An instrument whose promise is missed or in doubt: how grave, in a word, and why."""

    build: Build
    grade: str
    word: str
    why: str


class Planned:
    """Late today, late by the plan, and late in more than one of five replications; two queries."""

    def __init__(self, plan: Timetable, orders: list[Outlook], now: datetime) -> None:
        self.today = timezone.localdate(now)
        mine = sorted((one for one in orders if one.build and one.promise and one.leaves), key=lambda one: one.promise)
        late_now = [one for one in mine if one.promise < self.today]
        will_be = [one for one in mine if one.promise >= self.today and one.grade == "stop"]
        risks = [one for one in mine if one.promise >= self.today and one.grade == "caution"]
        self.late_count, self.will_be_count, self.risk_count = len(late_now), len(will_be), len(risks)
        shown = [*late_now[:FIRST], *will_be[:FIRST], *risks[:FIRST]]
        self.more = len(late_now) + len(will_be) + len(risks) - len(shown)
        self.reasons = holdings(plan, [one.build for one in shown], now)
        builds = Build.objects.select_related("batch").in_bulk([one.build for one in shown])
        self.doubts = [self._doubt(one, builds[one.build]) for one in shown]

    def _doubt(self, one: Outlook, build: Build) -> Doubt:
        reason = self.reasons.get(one.build)
        parts = (self._dates(one), reason.said if reason else "")
        grade = "stop" if one.promise < self.today else one.grade
        return Doubt(build, grade, self._word(one), "; ".join(part for part in parts if part))

    def _word(self, one: Outlook) -> str:
        if one.promise < self.today:
            return late_said((self.today - one.promise).days)
        if one.grade == "caution":
            return _("At risk")
        days = one.late_days
        return ngettext("Will be {days} day late", "Will be {days} days late", days).format(days=days)

    def _dates(self, one: Outlook) -> str:
        if one.grade == "caution" and one.promise >= self.today:
            return _("promised for {promise}, four in five leave by {day}").format(
                promise=day_said(one.promise), day=day_said(one.p80_on)
            )
        return _("leaves {day} by the plan").format(day=day_said(one.leaves_on))


class Unplanned:
    """Late today, and those whose work left is longer than the time left; without a plan, with no queue."""

    will_be_count = more = 0

    def __init__(self, now: datetime) -> None:
        self.today = timezone.localdate(now)
        overdue, risks = late(self.today), at_risk(now, self.today)
        self.late_count, self.risk_count = overdue.count(), len(risks)
        self.doubts = [*map(self._late, overdue[:FIRST]), *map(self._risk, risks[:FIRST])]

    def _late(self, build: Build) -> Doubt:
        return Doubt(build, "stop", late_said((self.today - build.promise).days), "")

    def _risk(self, risk: Risk) -> Doubt:
        days = max(1, round(risk.left_days) - risk.days)
        why = ngettext("{days} day more work than time", "{days} days more work than time", days)
        return Doubt(risk.build, "caution", _("At risk"), why.format(days=days))


def late_said(days: int) -> str:
    """Late so many days."""
    return ngettext("Late {days} day", "Late {days} days", days).format(days=days)
