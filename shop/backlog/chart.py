"""The time chart of the published plan: what it shows by instrument or by station, in which days, as rows of bars."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from urllib.parse import urlencode

import numpy as np
from django.urls import reverse
from django.utils import timezone
from django.utils.functional import cached_property
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from numpy.typing import NDArray

from routing.models import Station
from routing.planning.timetable import Outlook, Timetable, day_of, minute_of, outlooks, published_timetable
from routing.rota import DAY
from routing.said import day_said
from shop.backlog.timechart import Bar, Mark, Window, groups, lanes_of, scale, strip
from shop.orders.models import Order
from shop.people.models import Person

WEEKS = (1, 4, 13)
BY = ("builds", "stations")
SHOWN = 40
LISTED = 400
LANES = 3
"""Tasks of one instrument drawn above one another where they happen at the same time."""

NOON = DAY // 2

Rows = NDArray[np.int64]


@dataclass(frozen=True)
class Asked:
    """What the address asks for; anything it cannot mean falls back to the ordinary."""

    by: str
    weeks: int
    first: date
    only: str
    page: int
    table: bool

    @classmethod
    def of(cls, given: Mapping[str, str], today: date) -> Asked:
        """The query of an address."""
        weeks, page = given.get("weeks", ""), given.get("page", "")
        return cls(
            by=given.get("by", "") if given.get("by") in BY else BY[0],
            weeks=int(weeks) if weeks in map(str, WEEKS) else WEEKS[1],
            first=_monday(_day(given.get("from", "")) or today),
            only=given.get("only", ""),
            page=int(page) if page.isdecimal() and 0 < len(page) < 6 else 1,
            table=given.get("as") == "table",
        )

    def address(self, **changes: object) -> str:
        """The same page with something else asked."""
        asked: dict[str, object] = {"by": self.by, "weeks": self.weeks, "from": self.first.isoformat()}
        asked |= {"only": self.only} if self.only else {}
        asked |= {"as": "table"} if self.table else {}
        return "?" + urlencode({name: value for name, value in (asked | changes).items() if value != ""})


def _day(text: str) -> date | None:
    try:
        found = date.fromisoformat(text)
    except ValueError:
        return None
    return found if 1990 <= found.year <= 2200 else None


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


@dataclass(frozen=True)
class Row:
    """One row of the chart: whose it is, what is to be said of it, its picture."""

    name: str
    address: str
    grade: str
    said: str
    picture: SafeString


@dataclass(frozen=True)
class Line:
    """One task of the table beside the chart."""

    name: str
    operation: str
    station: str
    begins: str
    ends: str
    person: str


class Chart:
    """Everything the page shows; read in a fixed number of queries, the plan itself once a version."""

    def __init__(self, given: Mapping[str, str], now: datetime) -> None:
        self._days: dict[int, str] = {}
        self._words: dict[str, str] = {}
        self.now, today = timezone.localtime(now), timezone.localdate(now)
        self.asked = Asked.of(given, today)
        self.plan: Timetable | None = published_timetable()
        self.stations = list(Station.objects.all())
        self.window = Window(minute_of(self.asked.first), 7 * self.asked.weeks)
        if self.plan is None:
            return
        self.people = {person.pk: str(person) for person in Person.objects.all()}
        self.orders = outlooks(self.plan.plan)
        self.numbers = dict(Order.objects.filter(build__planned__plan=self.plan.plan).values_list("build_id", "number"))
        self.of_build = {one.build: one for one in self.orders if one.build}
        self.of_booking = {one.booking: one for one in self.orders if one.booking}

    @property
    def last(self) -> date:
        """The last day shown."""
        return self.asked.first + timedelta(days=self.window.days - 1)

    @cached_property
    def inside(self) -> Rows:
        """Rows of the plan in these days, of what is asked for."""
        rows = self.plan.between(self.asked.first, self.last + timedelta(days=1))
        build, booking = self.plan.rows.build[rows], self.plan.rows.booking[rows]
        wanted = [one for one in self.orders if self.asked.only != "late" or one.grade in ("stop", "caution")]
        mine = np.isin(build, [one.build for one in wanted if one.build])
        rows = rows[mine | np.isin(booking, [one.booking for one in wanted if one.booking])]
        at = self.station_asked
        return rows if at is None else rows[self._at(rows, at.pk)]

    def _at(self, rows: Rows, station: int) -> NDArray[np.bool_]:
        own = self.plan.rows.station[rows] == station
        return own | (self.plan.rows.rest_at[rows] == station)

    @property
    def station_asked(self) -> Station | None:
        return next((one for one in self.stations if one.slug == self.asked.only), None)

    @cached_property
    def present(self) -> list[Outlook]:
        """Instruments with work or waiting in these days, what leaves first in front."""
        builds = set(self.plan.rows.build[self.inside].tolist())
        bookings = set(self.plan.rows.booking[self.inside].tolist())
        return [one for one in self.orders if one.build in builds - {0} or one.booking in bookings - {0}]

    @property
    def pages(self) -> int:
        return max(1, -(-len(self.present) // SHOWN)) if self.asked.by == "builds" else 1

    @property
    def first_shown(self) -> int:
        return (min(self.asked.page, self.pages) - 1) * SHOWN

    @cached_property
    def shown(self) -> list[Outlook]:
        """The instruments of this page."""
        return self.present[self.first_shown : self.first_shown + SHOWN]

    @property
    def counted(self) -> str:
        """Which instruments of how many are shown."""
        total = len(self.present)
        if self.asked.by == "builds" and self.pages > 1:
            last = self.first_shown + len(self.shown)
            return _("{first} to {last} of {n} instruments").format(first=self.first_shown + 1, last=last, n=total)
        return ngettext("{n} instrument", "{n} instruments", total).format(n=total)

    @cached_property
    def rows(self) -> list[Row]:
        """The rows of the chart."""
        return list(self._build_rows() if self.asked.by == "builds" else self._station_rows())

    @cached_property
    def heads(self) -> list[tuple[float, str]]:
        """Where each day begins, or each week where there is more than one; what is written there."""
        days = range(self.window.days) if self.asked.weeks == 1 else range(0, self.window.days, 7)
        return [
            (100.0 * day / self.window.days, self._day_head(self.asked.first + timedelta(days=day))) for day in days
        ]

    def _day_head(self, day: date) -> str:
        weekday, number, month, _year = day_said(day).split(" ")
        return f"{number} {month}" if self.asked.weeks == 13 else f"{weekday} {number} {month}"

    @property
    def scale(self) -> SafeString:
        return mark_safe(scale(self.heads, _("Days")))

    @property
    def today(self) -> float | None:
        """Where now is; None outside these days."""
        minute = minute_of(self.now.date()) + 60 * self.now.hour + self.now.minute
        return self.window.place(minute) if self.window.begin <= minute < self.window.end else None

    def _picture(self, lanes: Sequence[Sequence[Bar]], name: str, mark: Mark | None = None) -> SafeString:
        return mark_safe(strip(lanes, [place for place, _said in self.heads], self.today, name, mark))

    def _build_rows(self) -> Iterator[Row]:
        plan = self.plan
        builds, bookings = ({getattr(one, key) for one in self.shown} - {0} for key in ("build", "booking"))
        rows = self.inside
        mine = rows[np.isin(plan.rows.build[rows], list(builds)) | np.isin(plan.rows.booking[rows], list(bookings))]
        of_one: dict[tuple[int, int], list[int]] = {}
        for row, key in zip(mine.tolist(), self._keys(mine), strict=True):
            of_one.setdefault(key, []).append(row)
        for one in self.shown:
            rows = np.array(of_one.get((one.build, one.booking), []), dtype=np.int64)
            lanes = self._lanes(rows, plan.begins[rows], plan.ends[rows], LANES, self._doing)
            yield Row(self.name(one), self._address(one), one.grade, self.outlook_said(one),
                      self._picture(lanes, self.name(one), self._promise(one)))  # fmt: skip

    def _keys(self, rows: Rows) -> Iterator[tuple[int, int]]:
        return zip(self.plan.rows.build[rows].tolist(), self.plan.rows.booking[rows].tolist(), strict=True)

    def _station_rows(self) -> Iterator[Row]:
        asked = self.station_asked
        for station in self.stations if asked is None else [asked]:
            rows, begins, ends = self._taken(station.pk)
            lanes = self._lanes(rows, begins, ends, max(1, station.places), self._whose, waits=False)
            said = ngettext("{n} place", "{n} places", station.places).format(n=station.places)
            address = self.asked.address(only="" if asked else station.slug)
            yield Row(_(station.name), address, "", said, self._picture(lanes, _(station.name)))

    def _taken(self, station: int) -> tuple[Rows, Rows, Rows]:
        """Rows that take a place of the station, rising by begin, and from when until when, rest included."""
        plan, rows = self.plan, self.inside
        own, rest = plan.rows.station[rows] == station, plan.rows.rest_at[rows] == station
        begins = np.where(own, plan.begins[rows], plan.rest_begins[rows])
        ends = np.where(rest, plan.rest_ends[rows], plan.ends[rows])
        order = np.argsort(begins, kind="stable")
        kept = order[((own | rest) & (ends > begins))[order]]
        return rows[kept], begins[kept], ends[kept]

    def _lanes(
        self, rows: Rows, begins: Rows, ends: Rows, most: int, letters: Callable[[int], str], *, waits: bool = True
    ) -> list[list[Bar]]:
        """Bars in lanes of what does not overlap; what takes no time is left out."""
        some = ends > begins
        rows, begins, ends = rows[some], begins[some], ends[some]
        lanes = np.array(lanes_of(begins.tolist(), ends.tolist(), most), dtype=np.int64)
        found = []
        for lane in range(int(lanes.max(initial=0)) + 1):
            here = lanes == lane
            spans = self.window.at(begins[here]), self.window.at(ends[here])
            until = self.window.at(self.plan.waits_end[rows[here]]) if waits else spans[1]
            found.append(self._bars(rows[here].tolist(), *(each.tolist() for each in (*spans, until)), letters))
        return found

    def _bars(
        self, rows: list[int], begins: list[float], ends: list[float], waits: list[float], letters: Callable[[int], str]
    ) -> list[Bar]:
        found = []
        for first, last in groups(begins, ends):
            row, count = rows[first], last - first + 1
            if count == 1:
                address = self._task_address(row)
                found.append(Bar(begins[first], ends[first], waits[first], letters(row), self._told(row), address))
            else:
                name = _("{n} tasks, first {first}; last {last}").format(
                    n=count, first=self._told(row), last=self._told(rows[last])
                )
                found.append(Bar(begins[first], max(ends[first : last + 1]), max(waits[first : last + 1]),
                                 str(count), name, count=count))  # fmt: skip
        return found

    def _told(self, row: int) -> str:
        """A task in one line: whose, what, where, from when until when, by whom."""
        line = self.line(row)
        parts = [line.name, line.operation, line.station, _("{begin} to {end}").format(
            begin=line.begins, end=line.ends), line.person]  # fmt: skip
        return ", ".join(part for part in parts if part)

    def line(self, row: int) -> Line:
        """The same as a row of the table."""
        plan, rows = self.plan, self.plan.rows
        return Line(
            self._whose(row), self._operation(row), self._station(row), self._moment(int(plan.begins[row])),
            self._moment(int(plan.ends[row])), self.people.get(int(rows.person[row]), ""),
        )  # fmt: skip

    def _doing(self, row: int) -> str:
        return self._operation(row) or self._station(row)

    def _operation(self, row: int) -> str:
        name = self.plan.operations.get(int(self.plan.rows.task[row]), "")
        if name not in self._words:
            self._words[name] = _(name) if name else ""
        return self._words[name]

    def _whose(self, row: int) -> str:
        build, booking = int(self.plan.rows.build[row]), int(self.plan.rows.booking[row])
        one = self.of_build.get(build) or self.of_booking.get(booking)
        return self.name(one) if one else ""

    def _station(self, row: int) -> str:
        return self._station_names.get(int(self.plan.rows.station[row]), "")

    @cached_property
    def _station_names(self) -> dict[int, str]:
        return {one.pk: _(one.name) for one in self.stations}

    def _task_address(self, row: int) -> str:
        task = int(self.plan.rows.task[row])
        return f"{self._tasks}{task}/" if task in self.plan.operations else ""

    @cached_property
    def _tasks(self) -> str:
        return reverse("floor:task", args=[0]).removesuffix("0/")

    def _moment(self, minute: int) -> str:
        """A minute of the shop's clock as it is written."""
        hour, of_hour = divmod(minute % DAY, 60)
        return f"{self._day(minute // DAY)} {hour:02d}:{of_hour:02d}"

    def _day(self, day: int) -> str:
        if day not in self._days:
            self._days[day] = day_said(day_of(day * DAY))
        return self._days[day]

    def name(self, one: Outlook) -> str:
        """Its serial, or that it is an order without one yet."""
        return one.serial or _("booking {n}").format(n=one.booking)

    def _address(self, one: Outlook) -> str:
        number = self.numbers.get(one.build)
        return reverse("orders:page", args=[number]) if number else ""

    def outlook_said(self, one: Outlook) -> str:
        """What becomes of its promise, in a few words."""
        if one.grade == "stop":
            return ngettext("{n} day late", "{n} days late", one.late_days).format(n=one.late_days)
        return {"caution": _("at risk"), "go": _("holds")}.get(one.grade, _("no promise"))

    def _promise(self, one: Outlook) -> Mark | None:
        if one.promise is None:
            return None
        minute = minute_of(one.promise) + NOON
        if not self.window.begin <= minute < self.window.end:
            return None
        return Mark(self.window.place(minute), _("promised for {day}").format(day=day_said(one.promise)))

    @property
    def lines(self) -> list[Line]:
        """The table: the first of the tasks shown that take time, as they begin."""
        return [self.line(row) for row in self._listed[:LISTED].tolist()]

    @property
    def more(self) -> int:
        """How many the table leaves out."""
        return max(0, len(self._listed) - LISTED)

    @cached_property
    def _listed(self) -> Rows:
        rows = self.inside[self.plan.ends[self.inside] > self.plan.begins[self.inside]]
        if self.asked.by == "builds":
            keys = {(one.build, one.booking) for one in self.shown}
            rows = rows[np.fromiter((key in keys for key in self._keys(rows)), dtype=bool)]
        return rows

    @property
    def links(self) -> dict[str, str]:
        """Addresses of everything that can be pressed; empty where it leads nowhere."""
        asked, zoom = self.asked, WEEKS.index(self.asked.weeks)
        move = timedelta(weeks=asked.weeks if asked.weeks < WEEKS[-1] else WEEKS[1])
        page = min(asked.page, self.pages)
        return {
            "builds": asked.address(by="builds"), "stations": asked.address(by="stations"),
            "earlier": asked.address(**{"from": (asked.first - move).isoformat()}),
            "now": asked.address(**{"from": ""}),
            "later": asked.address(**{"from": (asked.first + move).isoformat()}),
            "closer": asked.address(weeks=WEEKS[zoom - 1]) if zoom else "",
            "wider": asked.address(weeks=WEEKS[zoom + 1]) if zoom < len(WEEKS) - 1 else "",
            "all": asked.address(only=""), "late": asked.address(only="late"),
            "before": asked.address(page=page - 1) if page > 1 else "",
            "next": asked.address(page=page + 1) if page < self.pages else "",
            "drawing": asked.address(page=page, **{"as": ""}), "table": asked.address(page=page, **{"as": "table"}),
        }  # fmt: skip

    @property
    def zooms(self) -> list[tuple[str, str, bool]]:
        """Each width of the window: its address, its name, whether it is the present one."""
        return [
            (self.asked.address(weeks=weeks), ngettext("{n} week", "{n} weeks", weeks).format(n=weeks),
             weeks == self.asked.weeks)
            for weeks in WEEKS
        ]  # fmt: skip
