"""How the shop's capacity changes: hours, absences, overtime, days of their own, closed days, places out of use."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, time, timedelta
from typing import Any

from django.contrib.auth import get_user_model
from django.db import transaction
from django.utils.translation import gettext as _

from routing.attendance import Absence, DayException, Overtime, PlacesOut, WorkingHours
from routing.models import Holiday, Station
from routing.planning.rota import read_rota
from routing.rota import QUARTER, Stretch, joined, length_h, shared, stretch
from routing.said import day_said
from specs.errors import Problem, Refused, WrongState

LONGEST_ABSENCE = timedelta(days=366)
MOST_PLACES = 99

Hours = tuple[time, time]


@transaction.atomic
def set_working_hours(*, person: Any, hours: Mapping[int, Sequence[Hours]]) -> None:
    """The person's hours of every week by weekday; none at all means the shop's hours.

    Raises ``Refused`` for stretches that run backwards, overlap or begin between two quarter-hours.
    """
    _lock(person)
    _refuse(problem for weekday, given in hours.items() for problem in _hours_problems(str(weekday), given))
    person.working_hours.all().delete()
    WorkingHours.objects.bulk_create(
        WorkingHours(person=person, weekday=weekday, begins=begins, ends=ends)
        for weekday, given in hours.items()
        for begins, ends in given
    )


@transaction.atomic
def add_absence(*, person: Any, first: date, last: date, reason: str) -> Absence:
    """Whole days the person is away. Raises ``Refused`` where they are away already or the days run backwards."""
    _lock(person)
    _refuse(_days_problems(first, last))
    if last - first > LONGEST_ABSENCE:
        raise Refused.one("last", "range", _("That is more than a year: close the person's sign-in instead."))
    known = person.absences.filter(first__lte=last, last__gte=first).first()
    if known is not None:
        raise Refused.one("first", "taken", _("Away already from {first} to {last}: {reason}.").format(
            first=day_said(known.first), last=day_said(known.last), reason=known.reason))  # fmt: skip
    return Absence.objects.create(person=person, first=first, last=last, reason=reason)


@transaction.atomic
def add_overtime(*, person: Any, date: date, begins: time, ends: time, today: date) -> Overtime:
    """A stretch of one day beyond the person's hours. Raises ``Refused`` for a day that is over or away, or hours
    they work anyway."""
    _lock(person)
    _refuse([*_past_problems(date, today), *_hours_problems("", [(begins, ends)])])
    rota = read_rota(date, date)
    if rota.is_away(person.pk, date):
        raise Refused.one("date", "away", _("{person} is away that day.").format(person=person))
    if shared(rota.at_work(person.pk, date), [stretch(begins, ends)]):
        message = _("{person} works {hours} that day anyway; give only the hours beyond.")
        hours = hours_said(rota.at_work(person.pk, date))
        raise Refused.one("begins", "taken", message.format(person=person, hours=hours))
    return Overtime.objects.create(person=person, date=date, begins=begins, ends=ends)


@transaction.atomic
def add_day(*, date: date, begins: time, ends: time, reason: str, today: date) -> DayException:
    """A stretch of a day on which the shop has hours of that day. Raises ``Refused`` for a day that is over or
    closed, or hours it has already."""
    _refuse([*_past_problems(date, today), *_hours_problems("", [(begins, ends)]), *_closed_problems(date)])
    known = [stretch(*row) for row in DayException.objects.filter(date=date).values_list("begins", "ends")]
    if shared(known, [stretch(begins, ends)]):
        raise Refused.one("begins", "taken", _("Of that day {hours} is known already.").format(hours=hours_said(known)))
    return DayException.objects.create(date=date, begins=begins, ends=ends, reason=reason)


@transaction.atomic
def close_day(*, date: date, name: str, today: date) -> Holiday:
    """A day the shop is closed. Raises ``Refused`` for a day that is over, closed already or has hours of its own."""
    _refuse([*_past_problems(date, today), *_closed_problems(date)])
    if DayException.objects.filter(date=date).exists():
        raise Refused.one("date", "taken", _("That day has hours of its own: take them out first."))
    return Holiday.objects.create(date=date, name=name)


@transaction.atomic
def take_places_out(*, station: Station, first: date, last: date, places: int, reason: str) -> PlacesOut:
    """Places of a station that cannot be used on those days. Raises ``Refused`` for more than it has."""
    _refuse(_days_problems(first, last))
    station = Station.objects.select_for_update().get(pk=station.pk)
    if not 1 <= places <= station.places:
        message = _("{station} has {n}: give a number from 1 to that.")
        raise Refused.one("places", "range", message.format(station=_(station.name), n=station.places))
    return PlacesOut.objects.create(station=station, first=first, last=last, places=places, reason=reason)


@transaction.atomic
def set_places(*, station: Station, places: int) -> Station:
    """How many places a station has. Raises ``Refused`` beyond 99, or for none: then close it by taking them out."""
    if not 1 <= places <= MOST_PLACES:
        raise Refused.one("places", "range", _("Give a number from 1 to {most}.").format(most=MOST_PLACES))
    Station.objects.filter(pk=station.pk).update(places=places)
    station.refresh_from_db()
    return station


Kept = type[Absence] | type[Overtime] | type[DayException] | type[Holiday] | type[PlacesOut]


@transaction.atomic
def take_back(*, kept: Kept, pk: int) -> None:
    """Take a row of capacity out again. Raises ``WrongState`` where somebody else did before."""
    if not kept.objects.filter(pk=pk).delete()[0]:
        raise WrongState(_("That was taken out already."))


def hours_said(stretches: Iterable[Stretch]) -> str:
    """Stretches of a day as people write them: 08:00–12:00, 13:00–17:00."""
    return ", ".join(f"{_clock(begins)}–{_clock(ends)}" for begins, ends in stretches)


def _clock(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}"


def _lock(person: Any) -> None:
    """Two changes of one person's hours at once see each other."""
    get_user_model().objects.select_for_update().get(pk=person.pk)


def _refuse(problems: Iterable[Problem]) -> None:
    found = tuple(problems)
    if found:
        raise Refused(found)


def _days_problems(first: date, last: date) -> Iterator[Problem]:
    if last < first:
        yield Problem("last", "order", _("The last day is before the first."))


def _past_problems(day: date, today: date) -> Iterator[Problem]:
    if day < today:
        yield Problem("date", "past", _("That day is over; only today and later can be planned."))


def _closed_problems(day: date) -> Iterator[Problem]:
    closed = Holiday.objects.filter(date=day).first()
    if closed is not None:
        yield Problem("date", "taken", _("Closed already: {name}. Take that out first.").format(name=closed.name))


def _hours_problems(before: str, given: Sequence[Hours]) -> Iterator[Problem]:
    field = f"{before}." if before else ""
    stretches = [stretch(*hours) for hours in given]
    for begins, ends in stretches:
        if ends <= begins:
            yield Problem(f"{field}ends", "order", _("The end is not after the beginning."))
        if begins % QUARTER or ends % QUARTER:
            yield Problem(f"{field}begins", "quarter", _("Times are whole quarter-hours, such as 08:15."))
    if length_h(joined(stretches)) < length_h(stretches):
        yield Problem(f"{field}begins", "overlap", _("The two stretches of that day overlap."))
