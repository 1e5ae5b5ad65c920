"""How long the pages of a full shop take, against the floor page of the same server under the same load.

``HEELBLOCK_DATA`` or ``DATABASE_URL`` name a database to keep and use again; without them a scratch one is filled.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from statistics import median
from time import perf_counter

from ready import django_ready, project

project()
django_ready()

from django.db import connection  # noqa: E402
from django.db.models import Count  # noqa: E402
from django.test import Client  # noqa: E402
from django.test.utils import CaptureQueriesContext  # noqa: E402
from django.utils import timezone  # noqa: E402
from filling import filled  # noqa: E402
from serving import ask, at_once, p95, served, signed_in  # noqa: E402

from routing.models import Task, TaskState  # noqa: E402
from shop.orders.models import Order, OrderState  # noqa: E402
from shop.people.models import Person  # noqa: E402

ROUNDS, HANDS = 120, 2
DIFFERENT = 20
"""How many different orders, drafts and stations are asked for in turn."""

BAR = 5
BARRED = ("an order", "a station")
SLOW_MS = 10

Ask = Callable[[int], tuple[int, bytes, float]]


def main() -> None:
    began = perf_counter()
    filled(timezone.now())
    print(f"{connection.vendor}: {Order.objects.count()} orders, {Task.objects.count()} tasks"
          f" ({perf_counter() - began:.0f} s to fill)")  # fmt: skip
    with served() as port:
        asks = _asks(port)
        first = {name: median(_timed(act, at) for at in range(DIFFERENT)) for name, act in asks.items()}
        for name, act in asks.items():
            at_once(lambda at, act=act: _timed(act, at), list(range(4 * DIFFERENT)), HANDS)
            print(f"warm: {name}")
        took = _measured(asks)
    _print(first, took)
    _slow_queries()


def _measured(asks: dict[str, Ask]) -> dict[str, list[float]]:
    """Page after page in turn, so that a busy machine is as busy for each of them."""
    took: dict[str, list[float]] = {name: [] for name in asks}
    for round_ in range(0, ROUNDS, 10):
        for name, act in asks.items():
            took[name] += at_once(lambda at, act=act: _timed(act, at), list(range(round_, round_ + 10)), HANDS)
    return took


def _timed(act: Ask, at: int) -> float:
    status, body, took = act(at)
    if status != 200:
        raise SystemExit(f"{status}: {body[:400]!r}")
    return took


def _asks(port: int) -> dict[str, Ask]:
    cookies, token = signed_in("avocet")
    asks = {name: _reading(port, cookies, paths) for name, paths in _paths().items()}
    return asks | {"the form's check": _checking(port, cookies, token)}


def _reading(port: int, cookies: str, paths: list[str]) -> Ask:
    return lambda at: ask(port, paths[at % len(paths)], cookies)


def _paths() -> dict[str, list[str]]:
    released = Order.objects.filter(state=OrderState.BUILDING, spec__released_at__isnull=False)
    busy = Task.objects.filter(state=TaskState.READY).order_by().values("station__slug").annotate(n=Count("pk"))
    stations = busy.order_by("-n").values_list("station__slug", flat=True)
    return {
        "the floor page": ["/floor-page/"],
        "the order list": [f"/orders/?page={page}" for page in range(1, 6)],
        "an order": [f"/orders/{number}/" for number in _numbers(released)],
        "a station": [f"/bench/{slug}/" for slug in stations[:DIFFERENT]],
        "all stations": ["/bench/"],
        "the backlog": ["/backlog/"],
    }


def _numbers(orders) -> list[str]:
    return list(orders.order_by("pk").values_list("number", flat=True)[:DIFFERENT])


def _checking(port: int, cookies: str, token: str) -> Ask:
    """Typing another scale into drafts, each time another one."""
    drafts = _numbers(Order.objects.filter(state=OrderState.DRAFT))
    fields = _typed(ask(port, f"/orders/{drafts[0]}/form/", cookies)[1].decode())
    sent = {"X-CSRFToken": token, "HX-Request": "true", "Origin": f"http://localhost:{port}"}

    def check(at: int) -> tuple[int, bytes, float]:
        form = fields | {"scale.bass": f"{36 + at % 997 / 1000:.3f} in"}
        return ask(port, f"/orders/{drafts[at % len(drafts)]}/check/", cookies, form, **sent)

    return check


def _typed(page: str) -> dict[str, str]:
    fields = dict(re.findall(r'<input[^>]*name="([^"]+)"[^>]*value="([^"]*)"', page))
    for name, options in re.findall(r'<select[^>]*name="([^"]+)"[^>]*>(.*?)</select>', page, re.S):
        chosen = re.search(r'<option(?: value="([^"]*)")? selected>([^<]*)', options)
        fields[name] = (chosen.group(1) or chosen.group(2)) if chosen else ""
    return fields


def _print(first: dict[str, float], took: dict[str, list[float]]) -> None:
    floor = p95(took["the floor page"])
    print(f"\n{'page':20} {'first':>8} {'median':>8} {'p95':>8}   {'ratio':>6}")
    for name, each in took.items():
        bar = f"  bar {BAR} x" if name in BARRED else ""
        print(f"{name:20} {first[name]:8.1f} {median(each):8.1f} {p95(each):8.1f} ms {p95(each) / floor:6.1f} x{bar}")


def _slow_queries() -> None:
    """Every query of these pages over the limit, to be explained by hand."""
    client = Client(SERVER_NAME="localhost")
    client.force_login(Person.objects.get(username="avocet"))
    for name, paths in _paths().items():
        if name == "the floor page":
            continue
        with CaptureQueriesContext(connection) as caught:
            client.get(paths[0])
        slow = [query for query in caught.captured_queries if float(query["time"]) * 1000 > SLOW_MS]
        print(f"\n{name}: {len(caught.captured_queries)} queries, {len(slow)} over {SLOW_MS} ms")
        for query in slow:
            print(f"  {float(query['time']) * 1000:.0f} ms  {query['sql'][:300]}")


if __name__ == "__main__":
    main()
