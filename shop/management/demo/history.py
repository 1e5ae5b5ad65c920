"""How one demo order is lived from the first call to where it stands today."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from random import Random

from routing.catalogue import operation
from routing.errors import NotAllowed
from routing.models import Build, Kind, Qualification, Task, TaskState
from routing.services import done_task, hold_task, start_task
from routing.workdays import WorkCalendar
from shop.management.demo.changes import changed
from shop.management.demo.wishes import Wish
from shop.orders.models import Customer, Order
from shop.orders.queries import check_order
from shop.orders.services import (
    About,
    cancel_order,
    clear_deposit,
    initial_caution,
    keep_draft,
    place_order,
    start_order,
)
from shop.papers.services import release_order
from shop.people.models import Person, Role
from specs.models import Pattern

LONGEST_QUEUE_H = 11
USUAL_PROMISE_DAYS = 120
STOCK_PACE = 6
REALLY = {"Fretting": 1.35, "Neck back rough shaping": 0.75, "Hardware fitting": 1.3}
"""Operations whose estimate is off in the demo: what they really take, as a share of it."""

FORGOTTEN = 0.04
"""Share of tasks whose Done is pressed only the next morning."""

HELD_FOR = "waits for a part: the tuner set came with one post short"


class History:
    """The replay of the shop's past: nobody has two tasks on the bench, nothing happens after ``now``."""

    def __init__(self, people: Mapping[str, Person], calendar: WorkCalendar, now: datetime) -> None:
        self.people, self.calendar, self.now = people, calendar, now
        self.desk = people["ilva"]
        self.busy: set[int] = set()
        self.chance = Random(26)
        self.hands: dict[int, list[Person]] = {}
        for row in Qualification.objects.select_related("person").order_by("pk"):
            self.hands.setdefault(row.station_id, []).append(row.person)

    def live(self, wish: Wish, pattern: Pattern, customer: Customer) -> None:
        """Take the order and bring it as far as it has come."""
        taken = self._working(wish.days_ago, 0)
        order = self._taken(wish, pattern, customer, taken)
        if wish.reach == "draft":
            return
        order = place_order(order=order, person=self.desk, now=self._working(wish.days_ago, 1))
        if wish.reach == "placed":
            return
        promise = (taken + timedelta(days=wish.promise_days or USUAL_PROMISE_DAYS)).date()
        order = clear_deposit(order=order, person=self.desk, now=self._working(wish.days_ago, 4), promise=promise)
        if wish.reach == "cancelled":
            cancel_order(order=order, reason=wish.remark, person=self.desk, now=self._working(wish.days_ago, 9))
        elif wish.reach in ("building", "held"):
            self._work(order, wish)

    def _working(self, days_ago: int, days_later: int) -> datetime:
        moment = self.now - timedelta(days=days_ago) + timedelta(days=days_later)
        return min(self.calendar.next_work_moment(moment), self.now)

    def _taken(self, wish: Wish, pattern: Pattern, customer: Customer, taken: datetime) -> Order:
        order = start_order(pattern=pattern, person=self.desk, now=taken)
        return keep_draft(
            order=order, entered=changed(order.spec.entered, wish.changes), version=order.spec.entered_version,
            about=About(customer_id=customer.pk, remark=wish.remark), person=self.desk, now=taken, say=True,
        )  # fmt: skip

    def _work(self, order: Order, wish: Wish) -> None:
        self._initial(order)
        if order.line == "series":
            release_order(order=order, person=self.desk, now=order.deposit_at)
            order.refresh_from_db()
        while (task := self._next(order.build, wish.pace)) is not None:
            self._do(order, *task)
        if wish.reach == "held":
            self._hold(order.build)

    def _initial(self, order: Order) -> None:
        for caution in check_order(order, now=self.now).cautions:
            initial_caution(
                order=order, rule=caution.rule, field=caution.field, initials=self.desk.initials,
                reason="talked through with the customer", person=self.desk, now=order.deposit_at,
            )  # fmt: skip

    def _next(self, build: Build, pace: float) -> tuple[Task, datetime, Person] | None:
        """The ready task that would be taken up first before today, when and by whom."""
        taken_up = [
            (self._taken_up(task, pace), task.position, task)
            for task in build.tasks.filter(state=TaskState.READY).select_related("station")
        ]
        for at, _position, task in sorted(taken_up):
            person = self._free_hand(task)
            if at < self.now and person:
                return task, at, person
        return None

    def _taken_up(self, task: Task, pace: float) -> datetime:
        queue_h = Random(f"{task.build_id} {task.operation}").uniform(0, LONGEST_QUEUE_H) * pace
        return self.calendar.add_work(task.ready_at, queue_h)

    def _free_hand(self, task: Task) -> Person | None:
        did_before = set(task.build.tasks.filter(position__in=task.after).values_list("person_id", flat=True))
        free = [hand for hand in self.hands[task.station_id] if hand.pk not in self.busy]
        return next((hand for hand in free if hand.pk not in did_before), free[0] if free else None)

    def _do(self, order: Order | None, task: Task, at: datetime, person: Person) -> None:
        if order is not None and operation(task.operation).releases:
            release_order(order=order, person=self.desk, now=at)
            return
        try:
            start_task(task_id=task.pk, person=person, now=at)
        except NotAllowed:
            person = self.people["maren"]
            start_task(task_id=task.pk, person=person, now=at)
        over = self.calendar.add_work(at, task.usual_h * REALLY.get(task.operation, 1) * self.chance.uniform(0.8, 1.3))
        if Random(f"{task.pk}").random() < FORGOTTEN:
            over = self.calendar.add_work(over, LONGEST_QUEUE_H)
        if over <= self.now:
            done_task(task_id=task.pk, person=person, now=over)
        else:
            self.busy.add(person.pk)

    def set_up_stock(self) -> None:
        """What nobody has reserved of the partner's batches is set up as hands are free."""
        for build in Build.objects.filter(batch__received__isnull=False, kind=Kind.INSTRUMENT, order=None):
            while (task := self._next(build, STOCK_PACE)) is not None:
                self._do(None, *task)

    def open_the_day(self) -> None:
        """Everybody at a bench has something in their hands this morning."""
        taken_at = self.now - timedelta(minutes=25)
        for person in self.people.values():
            if person.role == Role.BENCH and person.pk not in self.busy:
                self._pick_up(person, taken_at)

    def _pick_up(self, person: Person, at: datetime) -> None:
        stations = [station for station, hands in self.hands.items() if person in hands]
        for task in Task.objects.ready(at).filter(station__in=stations, build__cancelled_at=None).order_by("ready_at"):
            try:
                start_task(task_id=task.pk, person=person, now=at)
            except NotAllowed:
                continue
            return

    def _hold(self, build: Build) -> None:
        open_tasks = build.tasks.filter(state__in=(TaskState.READY, TaskState.ON_BENCH)).order_by("position")
        task = open_tasks.first()
        self.busy.discard(task.person_id)
        hold_task(task_id=task.pk, person=self.people["pell"], now=self.now - timedelta(days=6), reason=HELD_FOR)
