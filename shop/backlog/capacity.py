"""The page of capacity: a week of everybody's hours, what is written down ahead, stations with places and hands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Prefetch, QuerySet
from django.utils.dates import WEEKDAYS_ABBR
from django.utils.translation import gettext as _

from routing.attendance import Absence, DayException, Overtime, PlacesOut
from routing.attending import hours_said
from routing.catalogue import STATIONS
from routing.models import Holiday, Qualification, Station
from routing.planning.rota import read_rota
from routing.rota import Rota, Stretches, length_h
from shop.people.models import Person

SHOWN = 60
WAITS_ONLY = frozenset(row.slug for row in STATIONS if row.waits_only)


@dataclass(frozen=True)
class Cell:
    """A person's day, or the shop's: its stretches, hours in all, and what makes it another day than usual.

    ``as_shop``: somebody works the very hours the shop does, which need not be written out once more.
    """

    hours: list[str]
    total_h: float
    why: str
    as_shop: bool
    is_today: bool


@dataclass(frozen=True)
class Row:
    """One line of the week: who, their seven days, hours in all."""

    person: Person | None
    cells: list[Cell]
    total_h: float
    has_own_hours: bool = False


class Week:
    """Everybody's hours from a Monday on, read in a fixed number of queries."""

    def __init__(self, day: date, today: date, people: Sequence[Person]) -> None:
        self.monday = day - timedelta(days=day.weekday())
        self.days = [self.monday + timedelta(days=ahead) for ahead in range(7)]
        self.today = today
        self.rota: Rota = read_rota(self.days[0], self.days[-1])
        span = {"date__range": (self.days[0], self.days[-1])}
        self._closed = dict(Holiday.objects.filter(**span).values_list("date", "name"))
        self._own = dict(DayException.objects.filter(**span).values_list("date", "reason"))
        away = Absence.objects.filter(first__lte=self.days[-1], last__gte=self.days[0])
        self._away = list(away.values_list("person_id", "first", "last", "reason"))
        self.shop = self._row(None, [self.rota.shop(day) for day in self.days])
        self.rows = [self._row(person, [self.rota.at_work(person.pk, day) for day in self.days]) for person in people]

    @property
    def before(self) -> date:
        """The Monday a week earlier."""
        return self.monday - timedelta(days=7)

    @property
    def after(self) -> date:
        """The Monday a week later."""
        return self.monday + timedelta(days=7)

    @property
    def heads(self) -> list[tuple[str, int, bool]]:
        """Weekday, day of the month and whether it is today."""
        return [(str(WEEKDAYS_ABBR[day.weekday()]), day.day, day == self.today) for day in self.days]

    def _row(self, person: Person | None, stretches: Sequence[Stretches]) -> Row:
        cells = [
            Cell(
                hours=[hours_said([one]) for one in each], total_h=length_h(each), why=self._why(person, day),
                as_shop=person is not None and each == self.rota.shop(day), is_today=day == self.today,
            )
            for day, each in zip(self.days, stretches, strict=True)
        ]  # fmt: skip
        own = person is not None and person.pk in self.rota.weeks
        return Row(person, cells, sum(map(length_h, stretches)), own)

    def _why(self, person: Person | None, day: date) -> str:
        if person is None:
            return self._own.get(day) or self._closed.get(day, "")
        reason = next((why for who, first, last, why in self._away if who == person.pk and first <= day <= last), "")
        if reason:
            return _("away: {reason}").format(reason=reason)
        return _("with overtime") if day in self.rota.overtime.get(person.pk, {}) else ""


def hands() -> list[Person]:
    """Everybody who may sign in, by name, with the stations they may work at; two queries."""
    stations = Qualification.objects.select_related("station").order_by("station__position")
    people = Person.objects.filter(is_active=True).prefetch_related(Prefetch("qualifications", stations))
    return list(people.order_by("first_name", "username"))


@dataclass(frozen=True)
class Place:
    """A station: its places, how many of them are out today, who may work there."""

    station: Station
    out: int
    people: list[Person]
    waits_only: bool

    @property
    def places(self) -> int:
        """Places that can be used today."""
        return max(0, self.station.places - self.out)


def places(people: Iterable[Person], out: Iterable[PlacesOut], today: date) -> list[Place]:
    """Every station in shop-walk order; one query."""
    gone: dict[int, int] = {}
    for each in out:
        if each.first <= today <= each.last:
            gone[each.station_id] = gone.get(each.station_id, 0) + each.places
    able: dict[int, list[Person]] = {}
    for person in people:
        for row in person.qualifications.all():
            able.setdefault(row.station_id, []).append(person)
    return [
        Place(station, gone.get(station.pk, 0), able.get(station.pk, []), station.slug in WAITS_ONLY)
        for station in Station.objects.all()
    ]


@dataclass(frozen=True)
class Ahead:
    """What is written down from today on."""

    absences: list[Absence]
    overtime: list[Overtime]
    days: list[DayException]
    closed: list[Holiday]
    places_out: list[PlacesOut]


def ahead(today: date, person: Person | None = None) -> Ahead:
    """Everything that is not over, soonest first; of one person where given; five queries."""
    own = {} if person is None else {"person": person}
    return Ahead(
        absences=_some(Absence.objects.filter(last__gte=today, **own).select_related("person")),
        overtime=_some(Overtime.objects.filter(date__gte=today, **own).select_related("person")),
        days=_some(DayException.objects.filter(date__gte=today)),
        closed=_some(Holiday.objects.filter(date__gte=today)),
        places_out=_some(PlacesOut.objects.filter(last__gte=today).select_related("station")),
    )


def _some(rows: QuerySet) -> list:
    return list(rows[:SHOWN])
