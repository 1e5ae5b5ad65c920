"""Small builds with hand-made task networks, and people to work on them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from routing.models import Build, Qualification, Station, Task, TaskState
from shop.people.models import Person, Role
from specs.models import Spec
from specs.starters import starter

NOW = datetime(2026, 4, 13, 8, 0, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def person(name: str, role: str = Role.BENCH, stations: tuple[str, ...] = ()) -> Person:
    made = Person.objects.create_user(name, role=role, initials=name[:2].upper())
    for slug in stations:
        Qualification.objects.create(person=made, station=station(slug), weekly_hours=30)
    return made


def station(slug: str = "fret-bench") -> Station:
    name = slug.replace("-", " ").capitalize()
    return Station.objects.get_or_create(slug=slug, defaults={"name": name, "position": Station.objects.count()})[0]


def build(owner: Person, *rows: tuple, serial: str = "C26-0001", **more) -> Build:
    """A build from rows (operation, station slug, after, wait_h); the first rows without predecessors are ready."""
    spec = Spec.objects.create(entered=starter(5), made_by=owner)
    made = Build.objects.create(serial=serial, spec=spec, line="custom", made_at=NOW - timedelta(days=20), **more)
    places = {row[0]: place for place, row in enumerate(rows)}
    for place, (operation, slug, after, wait_h) in enumerate(rows):
        Task.objects.create(
            build=made, position=place, operation=operation, station=station(slug), wait_h=wait_h,
            after=[places[name] for name in after], low_h=1, usual_h=2, high_h=4,
            state=TaskState.NOT_READY if after else TaskState.READY, ready_at=None if after else made.made_at,
        )  # fmt: skip
    return made


def task(made: Build, position: int) -> Task:
    return made.tasks.select_related("person", "station", "build").get(position=position)


TWO_MEET = (
    ("Fretting", "fret-bench", (), 0),
    ("Body edge, arm and belly shaping", "body-bench", (), 24),
    ("Neck joined to body", "assembly-bench", ("Fretting", "Body edge, arm and belly shaping"), 0),
)
JUDGED = (
    ("Neck back final shaping", "neck-bench", (), 0),
    ("White-wood inspection (hold point)", "inspection", ("Neck back final shaping",), 0),
)
