"""How long a full plan takes from the database to the published version, and a quote in the core and through HTTP.

For 400 and 3,000 builds of thirty open tasks, each size in a process and a data folder of its own. Bars: 20 s and
1.5 GB at 3,000, growth close to linear, a quote's p95 under 20 ms in the core and under 150 ms through HTTP, its date
kept by the plan after it in 95 % at least. Use: ``planning.py [BUILDS ...]``; SQLite only.
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import quantiles
from typing import Any

SIZES = (400, 3000)
QUOTES = 200
ACCEPTED = 20


def measured(builds: int) -> dict[str, Any]:
    """Everything about a backlog of that size, in this process."""
    from ready import django_ready, project

    project()
    django_ready()
    from backlog import fill
    from django.utils import timezone

    import shop.jobs  # noqa: F401
    from routing import jobs
    from routing.models import Job
    from routing.planning.jobs import REPLAN

    fill(builds)
    seconds = []
    for _ in range(2):
        asked, begin = Job.objects.create(kind=REPLAN), time.perf_counter()
        jobs.run(asked.pk)
        seconds.append(time.perf_counter() - begin)
        asked.refresh_from_db()
        if asked.state != "done":
            raise SystemExit(f"the plan failed: {asked.message}")
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    found = {"builds": builds, "first_s": seconds[0], "again_s": seconds[1], "memory_mb": memory}
    found |= quoted(timezone.now()) | kept_by_the_next(timezone.now())
    return found | {"through_http_p95_ms": through_http()}


def quoted(now: Any) -> dict[str, float]:
    """Milliseconds of quotes: the insertion alone, and with its reasons and what would bring it forward."""
    from routing.plan.quote import quote
    from routing.planning.ordered import order_work
    from routing.planning.promising import quote_order
    from routing.planning.published import standing

    here, tasks = standing(now), orders()
    quote_order(tasks[0], now=now)
    core, whole = [], []
    for place in range(QUOTES):
        ordered = order_work(tasks[place % len(tasks)], here.shop, release=here.shop.tick_at(now))
        begin = time.perf_counter()
        quote(here.profile, ordered.work, ordered.last, explain=False)
        core.append(time.perf_counter() - begin)
        begin = time.perf_counter()
        quote_order(tasks[place % len(tasks)], now=now, others={"other": tasks[0]})
        whole.append(time.perf_counter() - begin)
    return {"core_p95_ms": p95(core), "whole_p95_ms": p95(whole)}


def orders() -> list[Any]:
    """The tasks of some instruments."""
    from dataclasses import replace

    from routing.expand import build_rows
    from specs.facts import OrderFacts
    from specs.parsing import parse
    from specs.starters import starter

    plain = [parse(starter(strings)) for strings in (4, 5, 6)]
    glossy = [replace(each, finish=replace(each.finish, kind="nitrocellulose", sheen="gloss")) for each in plain]
    return [build_rows(each, OrderFacts()) for each in (*plain, *glossy)]


def kept_by_the_next(now: Any) -> dict[str, float]:
    """The share of accepted dates the plan made after them keeps."""
    import zoneinfo

    from django.conf import settings

    from routing import jobs
    from routing.models import Job, PlannedBuild
    from routing.planning.jobs import REPLAN
    from routing.planning.promising import accept_promise, quote_order
    from routing.planning.published import pointer
    from shop.people.models import Person
    from specs.facts import OrderFacts
    from specs.models import Spec
    from specs.starters import starter

    seller, tasks, given = Person.objects.first(), orders()[1], []
    for _ in range(ACCEPTED):
        spec = Spec.objects.create(entered=starter(5), made_by=seller)
        shown = quote_order(tasks, now=now).promise.promised_on
        given.append(accept_promise(spec=spec, facts=OrderFacts(), tasks=tasks, shown=shown, also_later=True,
                                    person=seller, now=now))  # fmt: skip
    jobs.run(Job.objects.create(kind=REPLAN).pk)
    zone = zoneinfo.ZoneInfo(settings.TIME_ZONE)
    rows = PlannedBuild.objects.filter(plan=pointer().plan_id, booking__in=given)
    leaves = {row.booking_id: row.leaves.astimezone(zone).date() for row in rows}
    return {
        "plan_day_kept": sum(leaves[each.pk] <= each.bare_on for each in given) / ACCEPTED,
        "promise_kept": sum(leaves[each.pk] <= each.promised_on for each in given) / ACCEPTED,
    }


def through_http() -> float:
    """Milliseconds of a quote asked over the API of a running server."""
    from http.client import HTTPConnection

    from rest_framework.authtoken.models import Token
    from serving import HOST, served

    from shop.people.models import Person
    from specs.starters import starter

    token = Token.objects.get_or_create(user=Person.objects.first())[0].key
    headers = {"Authorization": f"Token {token}", "Content-Type": "application/json"}
    seconds = []
    with served() as port:
        for place in range(QUOTES + 20):
            connection, body = HTTPConnection(HOST, port), json.dumps(starter((4, 5, 6)[place % 3]))
            begin = time.perf_counter()
            connection.request("POST", "/api/promise/", body, headers)
            answer = connection.getresponse()
            answer.read()
            if answer.status != 200:
                raise SystemExit(f"the quote was answered with {answer.status}")
            seconds.append(time.perf_counter() - begin)
            connection.close()
    return p95(seconds[20:])


def p95(seconds: list[float]) -> float:
    """Milliseconds that nineteen of twenty stay under."""
    return 1000 * quantiles(seconds, n=20)[-1]


def main() -> None:
    if len(sys.argv) > 2 and sys.argv[1] == "--one":
        print(json.dumps(measured(int(sys.argv[2]))))
        return
    sizes = [int(each) for each in sys.argv[1:]] or list(SIZES)
    found = []
    for builds in sizes:
        with tempfile.TemporaryDirectory() as folder:
            environment = os.environ | {"HEELBLOCK_DATA": folder, "DATABASE_URL": ""}
            command, root = [sys.executable, __file__, "--one", str(builds)], Path(__file__).parents[2]
            done = subprocess.run(command, env=environment, cwd=root, stdout=subprocess.PIPE, text=True, check=True)
            found.append(json.loads(done.stdout.strip().splitlines()[-1]))
            print(json.dumps({name: round(value, 2) for name, value in found[-1].items()}), flush=True)
    if len(found) > 1:
        first, last = found[0], found[-1]
        growth = (last["again_s"] / first["again_s"]) / (last["builds"] / first["builds"])
        print(f"growth from {first['builds']} to {last['builds']} builds: {growth:.2f} of linear")


if __name__ == "__main__":
    main()
