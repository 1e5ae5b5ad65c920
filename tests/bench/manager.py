"""How long the manager's pages take that read the plan, each the median of ten answers after a first one.

Use: ``manager.py [BUILDS]`` for a backlog of so many builds of thirty open tasks (400), or ``manager.py orders`` for a
shop of 5,000 orders, two in five of them open. Bar at 400 builds: 150 ms a page.
"""

from __future__ import annotations

import sys
import time
from statistics import median

PAGES = (
    "", "chart/", "chart/?weeks=13", "chart/?by=stations", "chart/?by=stations&weeks=13", "chart/?as=table", "load/",
    "floor/",
)  # fmt: skip
TIMES = 10


def main() -> None:
    """Fill the folder once, plan once, ask every page."""
    from django.core.management import call_command
    from ready import django_ready, project

    project()
    django_ready()
    call_command("collectstatic", interactive=False, verbosity=0)
    asked = sys.argv[1] if len(sys.argv) > 1 else "400"
    prepare(asked)
    for page in PAGES:
        print(f"{asked:>7}  /backlog/{page:32} {1000 * seconds('/backlog/' + page):7.0f} ms")


def prepare(asked: str) -> None:
    """A shop of that size with a published plan."""
    from django.utils import timezone

    import shop.jobs  # noqa: F401
    from routing import jobs
    from routing.models import Job
    from routing.planning.jobs import REPLAN
    from routing.planning.published import pointer

    if pointer().plan_id is not None:
        return
    if asked == "orders":
        from filling import filled

        filled(timezone.now())
    else:
        from backlog import fill

        fill(int(asked))
    job = Job.objects.create(kind=REPLAN)
    jobs.run(job.pk)
    job.refresh_from_db()
    if job.state != "done":
        raise SystemExit(f"the plan failed: {job.message}")


def seconds(address: str) -> float:
    """The median of several answers to a manager."""
    from django.test import Client

    from shop.people.models import Person, Role

    client = Client(SERVER_NAME="localhost")
    client.force_login(Person.objects.filter(role=Role.MANAGER).first() or made_manager())
    taken = []
    for _time in range(TIMES + 1):
        begin = time.perf_counter()
        answer = client.get(address)
        taken.append(time.perf_counter() - begin)
        if answer.status_code != 200:
            raise SystemExit(f"{address}: {answer.status_code}")
    return median(taken[1:])


def made_manager() -> object:
    """Somebody who may open them."""
    from shop.people.models import Person, Role

    return Person.objects.create_user("avocet", role=Role.MANAGER)


if __name__ == "__main__":
    main()
