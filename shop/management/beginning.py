"""What an empty workshop begins with: its stations, ordinary patterns to start orders from, and a first manager."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from django.db import transaction

from routing.building import stations_by_name
from shop.management.demo.changes import changed
from shop.people.models import Person, Role
from shop.people.services import add_person
from specs.models import Pattern
from specs.starters import starter

COUNTS = {4: "Four", 5: "Five", 6: "Six"}
CONSTRUCTIONS = ("bolt-on", "neck-through")
PARTNER = (
    ("finish.kind", "partner polyester"), ("finish.sheen", "satin"), ("finish.colour", "solid"),
    ("finish.shade", "white"), ("finish.pores", "closed"), ("neck.finish", "satin"),
)  # fmt: skip
"""How a series instrument comes finished from the partner. **Source**: common practice, no source."""


class Begun(NamedTuple):
    """How many stations and patterns there are, how many of the patterns are new, and the manager made, if any."""

    stations: int
    patterns: int
    new: int
    manager: Person | None


@transaction.atomic
def begin(*, manager: str = "", password: str = "") -> Begun:
    """Everything an empty workshop needs; what is there already stays as it is."""
    stations = stations_by_name()
    made = [Pattern.objects.get_or_create(name=each["name"], defaults=each)[1] for each in ordinary_patterns()]
    person = None
    if manager and not Person.objects.filter(username=manager).exists():
        person = add_person(username=manager, password=password, role=Role.MANAGER)
    return Begun(len(stations), len(made), sum(made), person)


def ordinary_patterns() -> Iterator[dict[str, Any]]:
    """Patterns for 4, 5 and 6 strings in both constructions, and the series of each number."""
    for count, word in COUNTS.items():
        for construction in CONSTRUCTIONS:
            yield _pattern(f"{word} strings, {construction}", count, "custom", starter(count, construction))
        yield _pattern(f"{word} strings, series", count, "series", changed(starter(count), PARTNER))


def _pattern(name: str, strings: int, line: str, document: dict[str, Any]) -> dict[str, Any]:
    about = "an ordinary instrument to start from"
    return {"name": name, "strings": strings, "line": line, "document": document, "about": about}
