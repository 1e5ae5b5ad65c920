"""A small shop that can build what the catalogue says: its stations, people able at all of them, builds, plans."""

from __future__ import annotations

from datetime import UTC, datetime

from routing import jobs
from routing.building import make_build, stations_by_name
from routing.expand import ExpandedTask, build_rows
from routing.models import Build, Job, Plan, Qualification
from routing.planning.jobs import IMPROVE, REPLAN
from routing.planning.published import pointer
from shop.people.models import Person, Role
from specs.facts import OrderFacts
from specs.models import Spec
from specs.parsing import parse
from specs.starters import starter

NOW = datetime(2026, 4, 13, 8, 0, tzinfo=UTC)
FACTS = OrderFacts()


def crew(count: int = 3) -> list[Person]:
    """People who may work anywhere."""
    stations = stations_by_name().values()
    people = [Person.objects.create_user(f"knot{place}", role=Role.MANAGER, initials="KN") for place in range(count)]
    Qualification.objects.bulk_create(
        Qualification(person=person, station=station, weekly_hours=30) for person in people for station in stations
    )
    return people


def spec(owner: Person) -> Spec:
    return Spec.objects.create(entered=starter(5), made_by=owner)


def build(owner: Person, serial: str, **more) -> Build:
    """A build of the ordinary instrument, nothing of it done."""
    given = {"facts": FACTS, "lived": {}, "promise": None, "person": owner, "now": NOW} | more
    return make_build(serial=serial, spec=spec(owner), **given)


def tasks() -> tuple[ExpandedTask, ...]:
    return build_rows(parse(starter(5)), FACTS)


def run(kind: str = REPLAN) -> Job:
    """The job of that kind done here and now."""
    asked = Job.objects.create(kind=kind)
    jobs.run(asked.pk)
    asked.refresh_from_db()
    return asked


def published() -> Plan:
    return pointer().plan


__all__ = ["FACTS", "IMPROVE", "NOW", "REPLAN", "build", "crew", "published", "run", "spec", "tasks"]
