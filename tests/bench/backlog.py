"""How long it takes to read 3,000 builds of thirty open tasks from the database into the plan's arrays.

An empty database of ``DATABASE_URL``, or SQLite in a scratch folder. Bar: 2 s. Use: ``backlog.py [BUILDS]``.
"""

from __future__ import annotations

import sys
import time
from datetime import timedelta
from random import Random

from ready import django_ready, project

project()
django_ready()

from django.db import connection, transaction  # noqa: E402
from django.utils import timezone  # noqa: E402

from routing.building import stations_by_name  # noqa: E402
from routing.expand import build_rows  # noqa: E402
from routing.models import Build, Qualification, Station, Task, TaskState  # noqa: E402
from routing.planning.backlog import read_backlog  # noqa: E402
from shop.people.models import Person  # noqa: E402
from specs.facts import OrderFacts  # noqa: E402
from specs.models import Spec  # noqa: E402
from specs.parsing import parse  # noqa: E402
from specs.starters import starter  # noqa: E402

TASKS = 30
CREW = 60
REPEATS = 5


@transaction.atomic
def fill(builds: int) -> None:
    """Builds as far on as leaves thirty tasks open, promises over the next two years, sixty people."""
    chance, now = Random(26), timezone.now()
    stations = stations_by_name()
    Station.objects.update(places=12)
    people = [Person.objects.create_user(f"hand-{number}") for number in range(CREW)]
    Qualification.objects.bulk_create(
        Qualification(person=person, station=station, weekly_hours=8)
        for place, station in enumerate(stations.values())
        for person in people[place % 6 :: 6]
    )
    spec = Spec.objects.create(entered=starter(5), made_by=people[0])
    made = [
        Build(serial=f"B{number:05d}", spec=spec, line="custom", made_at=now, released_at=now,
              promise=(now + timedelta(days=chance.randrange(-20, 700))).date())
        for number in range(builds)
    ]  # fmt: skip
    rows = build_rows(parse(starter(5)), OrderFacts(line="custom"))
    places = {row.operation: place for place, row in enumerate(rows)}
    first = len(rows) - TASKS
    tasks = [
        Task(build=build, position=place, operation=row.operation, station=stations[row.station], wait_h=row.wait_h,
             after=[places[name] for name in row.after], low_h=row.touch_h.low, usual_h=row.touch_h.usual,
             high_h=row.touch_h.high, state=TaskState.DONE if place < first else TaskState.NOT_READY,
             done_at=now - timedelta(hours=chance.randrange(1, 900)) if place < first else None)
        for build in Build.objects.bulk_create(made) for place, row in enumerate(rows)
    ]  # fmt: skip
    Task.objects.bulk_create(tasks, batch_size=2000)


def main() -> None:
    builds = int(sys.argv[1]) if len(sys.argv) > 1 else 3000
    if not Task.objects.exists():
        fill(builds)
    seconds = []
    for _ in range(REPEATS):
        begin = time.perf_counter()
        found = read_backlog(timezone.now())
        seconds.append(time.perf_counter() - begin)
    work = found.problem.work
    print(f"{connection.vendor}: {len(found.orders)} orders, {len(work)} tasks, {len(found.problem.axis)} ticks")
    print(f"read in {min(seconds):.2f} s, at most {max(seconds):.2f} s")


if __name__ == "__main__":
    main()
