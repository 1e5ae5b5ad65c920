"""Who of the demo's workshop is there when: a finisher for half the week, a holiday, an overtime Saturday, filters."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, time, timedelta

from routing.attending import add_absence, add_overtime, set_working_hours, take_places_out
from routing.models import Station
from shop.people.models import Person

MORNING, AFTERNOON = (time(8), time(12)), (time(13), time(17))
HALF_WEEK = {0: [MORNING, AFTERNOON], 1: [MORNING, AFTERNOON], 2: [MORNING]}
"""Two long days and a morning: nitrocellulose coats take more than a half day in one go."""


def attend(people: Mapping[str, Person], today: date) -> None:
    """Write down hours, an absence, overtime and a day without the booth, around that day."""
    monday = today + timedelta(days=7 - today.weekday())
    set_working_hours(person=people["wick"], hours=HALF_WEEK)
    away = monday + timedelta(weeks=2)
    add_absence(person=people["juno"], first=away, last=away + timedelta(days=13), reason="holiday")
    saturday = monday + timedelta(days=5)
    add_overtime(person=people["tam"], date=saturday, begins=MORNING[0], ends=MORNING[1], today=today)
    booth = Station.objects.get(slug="spray-booth")
    thursday = monday + timedelta(days=3)
    take_places_out(station=booth, first=thursday, last=thursday, places=1, reason="booth filters changed")
