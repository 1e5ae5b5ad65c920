"""The rota read from the database: the one place that knows the shop's working time."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, time

from django.conf import settings
from django.db.models import TimeField, Value
from django.db.models.functions import Cast

from routing.attendance import Absence, DayException, Overtime, WorkingHours
from routing.models import Holiday
from routing.rota import Days, Rota, Stretch, Stretches, Week, joined, stretch, week_of
from routing.workdays import Hours, WorkCalendar

DAY_OF_WORK: Hours = ((time(8), time(12)), (time(13), time(17)))
"""The hours of a working day. **Source**: common practice, an eight-hour day with an hour's rest."""

WORKDAYS = 5
SHOP_WEEK: Week = week_of((weekday, stretch(*hours)) for weekday in range(WORKDAYS) for hours in DAY_OF_WORK)


def shop_calendar() -> WorkCalendar:
    """The workshop's working time: weekdays but for closed days, and days with hours of their own; one query."""
    no_hour = Cast(Value(None), TimeField())
    closed = Holiday.objects.order_by().values_list("date", no_hour, no_hour)
    rows = closed.union(DayException.objects.order_by().values_list("date", "begins", "ends"), all=True)
    holidays: set[date] = set()
    own: dict[date, list[tuple[time, time]]] = {}
    for day, begins, ends in rows:
        if begins is None:
            holidays.add(day)
        else:
            own.setdefault(day, []).append((begins, ends))
    week = (*(DAY_OF_WORK,) * WORKDAYS, (), ())
    exceptions = {day: tuple(sorted(hours)) for day, hours in own.items()}
    return WorkCalendar(settings.TIME_ZONE, week, frozenset(holidays), exceptions)


def read_rota(first: date, last: date) -> Rota:
    """Everybody's rota of those days; five queries."""
    span = {"date__range": (first, last)}
    return Rota(
        week=SHOP_WEEK,
        closed=frozenset(Holiday.objects.filter(**span).values_list("date", flat=True)),
        own_days=_by_day(DayException.objects.filter(**span).values_list("date", "begins", "ends")),
        weeks=_weeks(),
        away=_away(first, last),
        overtime=_overtime(first, last),
    )


def _by_day(rows: Iterable[tuple[date, time, time]]) -> dict[date, Stretches]:
    found: dict[date, list[Stretch]] = {}
    for day, begins, ends in rows:
        found.setdefault(day, []).append(stretch(begins, ends))
    return {day: joined(each) for day, each in found.items()}


def _weeks() -> dict[int, Week]:
    rows: dict[int, list[tuple[int, Stretch]]] = {}
    for person, weekday, begins, ends in WorkingHours.objects.values_list("person_id", "weekday", "begins", "ends"):
        rows.setdefault(person, []).append((weekday, stretch(begins, ends)))
    return {person: week_of(each) for person, each in rows.items()}


def _away(first: date, last: date) -> dict[int, list[Days]]:
    found: dict[int, list[Days]] = {}
    rows = Absence.objects.filter(first__lte=last, last__gte=first).values_list("person_id", "first", "last")
    for person, begins, ends in rows:
        found.setdefault(person, []).append((begins, ends))
    return found


def _overtime(first: date, last: date) -> dict[int, dict[date, Stretches]]:
    rows = Overtime.objects.filter(date__range=(first, last)).values_list("person_id", "date", "begins", "ends")
    found: dict[int, list[tuple[date, time, time]]] = {}
    for person, *row in rows:
        found.setdefault(person, []).append(tuple(row))
    return {person: _by_day(each) for person, each in found.items()}
