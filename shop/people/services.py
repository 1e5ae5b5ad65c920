"""What happens to the people of the workshop: added, changed, given their stations."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction

from routing.models import Qualification
from shop.people.models import Person


@transaction.atomic
def add_person(*, username: str, password: str, hours: Mapping[int, float] | None = None, **given: Any) -> Person:
    """Somebody who can sign in from now on."""
    person = Person.objects.create_user(username, password=password, **given)
    give_stations(person=person, hours=hours or {})
    return person


@transaction.atomic
def change_person(*, person: Person, hours: Mapping[int, float], password: str = "", **given: Any) -> Person:
    """The person with what is given; an empty password leaves the old one."""
    for name, value in given.items():
        setattr(person, name, value)
    if password:
        person.set_password(password)
    person.save()
    give_stations(person=person, hours=hours)
    return person


@transaction.atomic
def give_stations(*, person: Person, hours: Mapping[int, float]) -> None:
    """The stations a person may work at, by key, with the hours a week each usually gets of them."""
    person.qualifications.exclude(station__in=hours).delete()
    for station, weekly in hours.items():
        Qualification.objects.update_or_create(
            person=person, station_id=station, defaults={"weekly_hours": weekly}
        )  # fmt: skip
