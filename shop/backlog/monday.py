"""The figures a manager looks at on a Monday, as one list: name, value, and a signal where it asks for something."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Count, Min, Sum
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from routing.ahead import LEARNED_TASKS, Load
from routing.catalogue import operation
from routing.lived import LEAVES
from routing.models import Batch, Station, Task, TaskState
from routing.planning.published import NoPlan
from routing.planning.timetable import Outlook
from routing.planning.windows import FINISHES, quote_windows
from routing.releasing import SIGNED, in_line
from routing.said import day_said
from routing.standing import floor_now

RATE_WEEKS = 13
MONTH = timedelta(days=30)
STANDARD = timedelta(weeks=4)
LEAST_TASKS = 5
"""Fewer finished tasks of a station say nothing about its hours."""

TIGHT = ("fret-bench", "setup-bench")
"""The usual first bottleneck. **Source**: common practice."""


@dataclass(frozen=True)
class Figure:
    """One line of the list; ``grade`` is a signal, empty where there is nothing to judge."""

    name: str
    said: str
    grade: str = ""
    address: str = ""


@dataclass(frozen=True)
class Touch:
    """Hours on the bench of finished tasks at a station against their estimates."""

    station: str
    count: int
    hours: float
    standard: float

    @property
    def share(self) -> float:
        return self.hours / self.standard if self.standard else 0.0


class Monday:
    """The list at one moment; a fixed number of queries."""

    def __init__(self, now: datetime, orders: Sequence[Outlook] | None, loads: Sequence[Load]) -> None:
        self.now, self.today = now, timezone.localdate(now)
        self.rates = _left_by_week(self.today)
        self.figures = [*self._finished(), self._places(), *self._line(), *self._promises(orders), *self._tight(loads),
                        *self._window(), self._partner()]  # fmt: skip
        self.touches = _touches(now)

    def _finished(self) -> Iterator[Figure]:
        names = {"custom": _("Finished last week, custom"), "series": _("Finished last week, series")}
        for line, name in names.items():
            weeks = self.rates[line]
            rate = sum(weeks) / len(weeks)
            said = _("{n}, usual {rate} a week").format(n=weeks[0], rate=f"{rate:.1f}")
            yield Figure(name, said, "caution" if weeks[0] + 1 <= rate else "", reverse("backlog:lead-times"))

    def _places(self) -> Figure:
        places = floor_now(self.now)
        over = [f"{_(one.place.name)} {one.count}/{one.limit}" for one in places if one.is_over]
        said = ", ".join(over) if over else _("none of {n}").format(n=len(places))
        return Figure(_("Places over their limit"), said, "stop" if over else "go", reverse("backlog:floor"))

    def _line(self) -> Iterator[Figure]:
        waiting = in_line()
        count = waiting.order_by().count()
        rate = sum(self.rates["custom"]) / RATE_WEEKS
        weeks = _("{n} weeks of work").format(n=round(count / rate)) if rate else _("no rate known yet")
        yield Figure(_("In line, not released"), f"{count}, {weeks}", "", reverse("backlog:floor"))
        unsigned = Task.objects.open().filter(operation=SIGNED, build__in=waiting.order_by().values("pk"))
        oldest = unsigned.order_by("build__made_at", "pk").values_list("build__serial", "build__made_at").first()
        if oldest is not None:
            days = (self.now - oldest[1]).days
            said = _("{serial}, {n} days").format(serial=oldest[0], n=days)
            yield Figure(_("Oldest unsigned"), said, "caution" if days > MONTH.days else "")

    def _promises(self, orders: Sequence[Outlook] | None) -> Iterator[Figure]:
        if orders is None:
            return
        due = [one.grade for one in orders if one.promise and self.today <= one.promise <= self.today + MONTH]
        words = {"go": _("hold"), "caution": _("at risk"), "stop": _("late")}
        parts = [f"{due.count(grade)} {word}" for grade, word in words.items() if grade in due]
        grade = next((grade for grade in ("stop", "caution", "go") if grade in due), "")
        address = reverse("backlog:chart") + "?only=late"
        yield Figure(_("Promises due in 30 days"), ", ".join(parts) or _("none"), grade, address)

    def _tight(self, loads: Sequence[Load]) -> Iterator[Figure]:
        for load in loads:
            if load.station.slug in TIGHT:
                said = _("{hours} of {there} hours in two weeks").format(
                    hours=round(load.hours), there=round(load.hands)
                )
                yield Figure(_(load.station.name), said, "stop" if load.is_over else "go", reverse("backlog:load"))

    def _window(self) -> Iterator[Figure]:
        try:
            windows = quote_windows(self.now)
        except NoPlan:
            return
        for finish in FINISHES:
            mine = [one for one in windows if one.finish == finish]
            said = ", ".join(_("{neck} {n} weeks").format(neck=_(one.neck), n=one.promised_weeks) for one in mine)
            if mine:
                yield Figure(_("Quote this week, {finish}").format(finish=_(finish)), said)

    def _partner(self) -> Figure:
        coming = Batch.objects.filter(received=None, outcome="").order_by("expected_on", "pk")
        batch = coming.values_list("number", "expected_on", "pieces").first()
        if batch is None:
            return Figure(_("Partner's next arrival"), _("nothing on its way"), "", reverse("batches:list"))
        number, day, pieces = batch
        said = _("{number}, {n} pieces, {day}").format(number=number, n=pieces, day=day_said(day))
        return Figure(_("Partner's next arrival"), said, "caution" if day < self.today else "",
                      reverse("batches:page", args=[number]))  # fmt: skip


def _left_by_week(today: date) -> dict[str, list[int]]:
    """Instruments that left by line, of the last full week first; one query."""
    monday = today - timedelta(days=today.weekday())
    begin, end = (
        timezone.make_aware(datetime.combine(day, datetime.min.time()))
        for day in (monday - timedelta(weeks=RATE_WEEKS), monday)
    )
    stations = Station.objects.filter(name__in={operation(name).station for name in LEAVES})
    left = Task.objects.filter(operation__in=LEAVES, station__in=stations, state=TaskState.DONE)
    found = {"custom": [0] * RATE_WEEKS, "series": [0] * RATE_WEEKS}
    rows = left.filter(done_at__gte=begin, done_at__lt=end).order_by()
    for line, done_at in rows.values_list("build__line", "done_at"):
        found[line][(monday - timezone.localdate(done_at) - timedelta(days=1)).days // 7] += 1
    return found


def _touches(now: datetime) -> list[Touch]:
    """The newest finished work of four weeks at each station, without what was never started; one query."""
    done = Task.objects.filter(state=TaskState.DONE, done_at__gte=now - STANDARD).order_by("-done_at")
    newest = Task.objects.filter(pk__in=done.values("pk")[:LEARNED_TASKS], touched_s__gt=0).order_by()
    rows = newest.values("station").annotate(
        name=Min("station__name"), place=Min("station__position"), n=Count("pk"), touched=Sum("touched_s"),
        standard=Sum("usual_h"),
    )  # fmt: skip
    return [
        Touch(row["name"], row["n"], row["touched"] / 3600, row["standard"])
        for row in sorted(rows, key=lambda row: row["place"])
        if row["n"] >= LEAST_TASKS
    ]
