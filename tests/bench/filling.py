"""A full shop for measuring: thousands of orders cloned from a few that were really lived through the services."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import islice
from random import Random
from typing import Any

from django.db import connection, transaction

from routing.building import stations_by_name
from routing.models import Build, EventKind, Hold, Qualification, Station, Task, TaskEvent, TaskState
from routing.readiness import Network, settle
from routing.services import done_task, start_task
from shop.orders.models import Customer, Order, OrderState
from shop.orders.queries import check_order
from shop.orders.services import About, clear_deposit, initial_caution, keep_draft, place_order, start_order
from shop.papers.services import release_order, release_task
from shop.people.models import Person
from specs.models import Pattern, Spec
from specs.starters import starter

ORDERS = 5_000
FINISHED, LIVE, UNRELEASED, PLACED = 0.56, 0.86, 0.90, 0.95
"""Shares of the orders, added up; the rest are drafts."""

HELD, ON_BENCH = 0.02, 0.05
PASSWORD = "low tide 4"
DESIGNS = ((4, "bolt-on"), (5, "bolt-on"), (5, "neck-through"), (6, "bolt-on"))
ROLES = (("sanderling", "sales"), ("dunlin", "bench"), ("avocet", "manager"))
BATCH = 4_000


@dataclass
class Lived:
    """An order really lived up to its release, to be cloned."""

    order: Order
    document: dict[str, Any]
    tasks: list[dict[str, Any]]
    release: int


def filled(now: datetime, orders: int = ORDERS) -> None:
    """Fill an empty database; one that holds as many orders already stays as it is."""
    held = Order.objects.count()
    if held >= orders:
        return
    if held:
        raise SystemExit("This database holds orders: give the measurement an empty one.")
    people = [_person(*one) for one in ROLES]
    customers = Customer.objects.bulk_create(
        Customer(name=f"Customer {at:03d} of the sound", country="PT" if at % 3 else "DE") for at in range(400)
    )
    lived = [_lived(*design, people[2], customers[0], now) for design in DESIGNS]
    for at in range(0, orders - len(lived), BATCH // 8):
        Cloning(lived, people, customers, now, at).run(min(BATCH // 8, orders - len(lived) - at))
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def _person(name: str, role: str) -> Person:
    person = Person.objects.create_user(name, password=PASSWORD, role=role, initials=name[:2].upper())
    Qualification.objects.bulk_create(
        Qualification(person=person, station=station, weekly_hours=5) for station in stations_by_name().values()
    )
    return person


def _lived(strings: int, construction: str, person: Person, customer: Customer, now: datetime) -> Lived:
    at = now - timedelta(days=200)
    name, document = f"Design {strings} {construction}", starter(strings, construction)
    pattern = Pattern.objects.create(name=name, strings=strings, line="custom", document=document)
    order = start_order(pattern=pattern, person=person, now=at)
    about = About(customer_id=customer.pk)
    order = keep_draft(
        order=order, entered=order.spec.entered, version=order.spec.entered_version, about=about, person=person, now=at
    )
    order = clear_deposit(order=place_order(order=order, person=person, now=at), person=person, now=at)
    _released(order, person, at)
    order.refresh_from_db()
    tasks = list(order.build.tasks.order_by("position").values())
    return Lived(order, order.spec.entered, tasks, release_task(order.build).position)


def _released(order: Order, person: Person, at: datetime) -> None:
    for finding in check_order(order, now=at).cautions:
        initial_caution(
            order=order, rule=finding.rule, field=finding.field, initials="AV", reason="talked through",
            person=person, now=at,
        )  # fmt: skip
    last = release_task(order.build).position
    for task in order.build.tasks.filter(position__lt=last).exclude(state=TaskState.DONE).order_by("position"):
        at += timedelta(days=5)
        start_task(task_id=task.pk, person=person, now=at)
        done_task(task_id=task.pk, person=person, now=at)
    release_order(order=order, person=person, now=at + timedelta(days=5))


class Cloning:
    """One batch of clones, written with one statement a table and slice."""

    def __init__(self, lived: list[Lived], people: list[Person], customers: list[Customer], now: datetime, first: int):
        self.lived, self.people, self.customers, self.now, self.first = lived, people, customers, now, first
        self.chance = Random(first)
        self.stations = {station.pk: station for station in Station.objects.all()}

    @transaction.atomic
    def run(self, count: int) -> None:
        """Write so many orders with everything below them."""
        chosen = [(self.lived[self.chance.randrange(len(self.lived))], self.chance.random()) for _ in range(count)]
        specs = Spec.objects.bulk_create(self._spec(one, share) for one, share in chosen)
        builds = self._builds(specs, chosen)
        Order.objects.bulk_create(
            self._order(at, spec, build, one, share)
            for at, (spec, build, (one, share)) in enumerate(zip(specs, builds, chosen, strict=True), self.first)
        )
        tasks = [task for build, (one, share) in zip(builds, chosen, strict=True) if build
                 for task in self._tasks(build, one, share)]  # fmt: skip
        for part in _parts(tasks):
            Task.objects.bulk_create(part)
        self._log(tasks)

    def _spec(self, one: Lived, share: float) -> Spec:
        kept = one.order.spec
        released = share < LIVE
        return Spec(
            pattern=kept.pattern, entered=kept.entered, made_by=self.people[0],
            **{name: getattr(kept, name) for name in ("released_at", "document", "digest", "answer", "table_versions")}
            if released else {},
        )  # fmt: skip

    def _builds(self, specs: list[Spec], chosen: list[tuple[Lived, float]]) -> list[Build | None]:
        made = [
            self._build(at, spec, share) if share < UNRELEASED else None
            for at, (spec, (_, share)) in enumerate(zip(specs, chosen, strict=True), self.first)
        ]
        Build.objects.bulk_create(build for build in made if build)
        return made

    def _build(self, at: int, spec: Spec, share: float) -> Build:
        days = self.chance.randrange(400, 900) if share < FINISHED else self.chance.randrange(20, 300)
        made = self.now - timedelta(days=days)
        return Build(
            serial=f"B{at:06d}", spec=spec, line="custom", made_at=made,
            promise=(made + timedelta(days=self.chance.randrange(90, 400))).date(),
            released_at=made + timedelta(days=10) if share < LIVE else None,
            finished_at=made + timedelta(days=200) if share < FINISHED else None,
        )  # fmt: skip

    def _order(self, at: int, spec: Spec, build: Build | None, one: Lived, share: float) -> Order:
        state = (
            OrderState.CLOSED if share < FINISHED
            else OrderState.BUILDING if share < UNRELEASED
            else OrderState.PLACED if share < PLACED
            else OrderState.DRAFT
        )  # fmt: skip
        taken = build.made_at if build else self.now - timedelta(hours=self.chance.randrange(900))
        return Order(
            number=f"B{at:06d}", customer=self.chance.choice(self.customers), spec=spec, build=build, line="custom",
            state=state, promise=build.promise if build else None, taken_by=self.people[0], taken_at=taken,
            placed_at=taken, deposit_at=taken if build else None,
        )  # fmt: skip

    def _tasks(self, build: Build, one: Lived, share: float) -> list[Task]:
        reached = self._reached(one, share)
        tasks = [self._task(build, kept, reached) for kept in one.tasks]
        network = Network(tasks)
        for task in tasks:
            settle(task, network, build.made_at)
            if task.state == TaskState.READY and task.ready_at < self.now:
                self._picked_up(task)
        return tasks

    def _reached(self, one: Lived, share: float) -> int:
        """How many of its tasks are done."""
        if share < FINISHED:
            return len(one.tasks)
        return self.chance.randrange(one.release + 1, len(one.tasks)) if share < LIVE else one.release

    def _task(self, build: Build, kept: dict[str, Any], reached: int) -> Task:
        fields = {name: value for name, value in kept.items() if name not in ("id", "build_id", "state")}
        task = Task(**fields | dict.fromkeys(("ready_at", "started_at", "done_at", "person_id")), build=build)
        if task.position < reached:
            ago = timedelta(hours=(reached - task.position) * self.chance.uniform(2, 30))
            at = (build.finished_at or self.now) - ago
            task.state, task.ready_at, task.started_at, task.done_at = TaskState.DONE, at - ago / 3, at - ago / 9, at
            task.person = self.people[1]
        return task

    def _picked_up(self, task: Task) -> None:
        drawn = self.chance.random()
        if drawn < HELD:
            task.state = TaskState.HELD
        elif drawn < ON_BENCH:
            task.state, task.person, task.started_at = TaskState.ON_BENCH, self.people[2], self.now

    def _log(self, tasks: list[Task]) -> None:
        done = (task for task in tasks if task.state == TaskState.DONE)
        for part in _parts(done):
            TaskEvent.objects.bulk_create(
                TaskEvent(task=task, kind=EventKind.DONE, person=self.people[1], at=task.done_at) for task in part
            )
        Hold.objects.bulk_create(
            Hold(task=task, reason="waits for a part", placed_by=self.people[1], placed_at=self.now)
            for task in tasks
            if task.state == TaskState.HELD
        )


def _parts(rows: Any) -> Iterator[list[Any]]:
    rows = iter(rows)
    while part := list(islice(rows, BATCH)):
        yield part
