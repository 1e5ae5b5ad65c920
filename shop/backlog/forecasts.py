"""What the page of the forecast shows: each order's promise, percentiles and chance to be kept, the least first."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from routing.models import Job, JobState, PlannedBuild
from routing.planning.forecasting import FORECAST, KEPT, latest_forecast
from routing.planning.published import plan_settings
from routing.said import day_said
from specs.drawings.reach import Reach, reach

SAFE, EVEN = "go", "caution"
UNDER_WAY = (JobState.QUEUED, JobState.RUNNING)
LIKELY_LATE = 0.5


class Likely:
    """One order of the forecast; days are counted from ``today``."""

    def __init__(self, row: PlannedBuild, today: date, level: float) -> None:
        self.row, self.today, self.level = row, today, level
        booking = row.booking
        self.order = getattr(row.build or booking, "order", None)
        self.name = str(self.order.number) if self.order else row.build.serial if row.build else _("booking")
        self.promise: date | None = row.build.promise if row.build else booking.promised_on
        self.chance: float | None = None if self.promise is None else row.kept_chance

    @property
    def sign(self) -> str:
        """Which signal stands beside the chance; empty without a promise."""
        if self.chance is None:
            return ""
        return SAFE if self.chance >= self.level else EVEN if self.chance >= LIKELY_LATE else "stop"

    @property
    def verdict(self) -> str:
        """The same in a word."""
        return {"go": _("holds"), "caution": _("at risk"), "stop": _("likely late")}.get(self.sign, _("no promise"))

    def days(self, moment: datetime | None) -> float | None:
        """Calendar days from today."""
        return None if moment is None else (timezone.localdate(moment) - self.today).days

    def picture(self, longest: float) -> SafeString:
        """The line of its percentiles on an axis of so many days."""
        row, promise = self.row, None if self.promise is None else (self.promise - self.today).days
        found = Reach(self.days(row.p50), self.days(row.p80), self.days(row.p95), promise)
        said = [(name, timezone.localdate(day)) for name, day in (("P50", row.p50), ("P80", row.p80), ("P95", row.p95))
                if day is not None]  # fmt: skip
        told = [f"{name} {day_said(day)}" for name, day in said]
        told += [_("promised {day}").format(day=day_said(self.promise))] if self.promise else []
        return mark_safe(reach(found, longest, title=self.name, told=", ".join(told)))


class ForecastPage:
    """Read in a fixed number of queries."""

    def __init__(self, now: datetime) -> None:
        self.now, plan = timezone.localtime(now), latest_forecast()
        kept: dict[str, Any] = plan.summary[KEPT] if plan else {}
        self.made_at = parse_datetime(kept["at"]) if kept else None
        self.replications = kept.get("replications", 0)
        self.jobs = list(Job.objects.filter(kind=FORECAST, state__in=UNDER_WAY).order_by("pk"))
        self.level = plan_settings().level
        rows = PlannedBuild.objects.filter(plan=plan, p50__isnull=False).select_related(
            "build__order", "booking__order"
        )
        rows = rows.defer("booking__rows", "booking__facts") if plan else rows.none()
        found = [Likely(row, timezone.localdate(now), self.level) for row in rows]
        self.orders = sorted(found, key=lambda each: (each.chance is None, each.chance, each.row.p80 or each.row.p50))

    @property
    def counts(self) -> list[tuple[str, str, int]]:
        """Signal, word and number of orders of each kind, the worst first."""
        words = {each.sign: each.verdict for each in self.orders if each.sign}
        signs = [each.sign for each in self.orders]
        return [(sign, words[sign], signs.count(sign)) for sign in ("stop", "caution", "go") if sign in words]

    @property
    def longest(self) -> float:
        """Days to the last P95 or promise, for one axis of all orders."""
        days = [each.days(each.row.p95) for each in self.orders]
        days += [(each.promise - each.today).days for each in self.orders if each.promise]
        return max([1.0, *(day for day in days if day is not None)])

    @property
    def drawn(self) -> list[tuple[Likely, SafeString]]:
        """Each order with its line."""
        longest = self.longest
        return [(each, each.picture(longest)) for each in self.orders]
