"""The partner-built batches of the demo: two counted in with instruments on the benches, one on its way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils import timezone

from routing.batches import DISPOSITION, RECEIVING, acclimate_batch, instruments
from routing.models import Batch, Outcome, Task, TaskState
from routing.readiness import GATES
from routing.services import start_task
from routing.workdays import WorkCalendar
from shop.batches.services import Wanted, count_batch, decide_batch, order_batch
from shop.floor.services import done
from shop.orders.checking import shop_calendar
from shop.people.models import Person
from specs.models import Pattern

PARTNER = "Farshore Woodworks"


@dataclass(frozen=True)
class Consignment:
    """A batch: design, pieces, left-handed ones, days since it was ordered, days until it was or is expected."""

    design: str
    pieces: int
    left_pieces: int
    ordered_days_ago: int
    expected_in_days: int
    sample: int = 1


CONSIGNMENTS = (
    Consignment("Dunlin", 6, 0, 180, -52),
    Consignment("Sanderling", 6, 1, 176, -50),
    Consignment("Dunlin", 24, 2, 120, 13),
)


def live_batch(one: Consignment, pattern: Pattern, people: Mapping[str, Person], now: datetime) -> None:
    """Order the batch and bring it as far as it has come by ``now``."""
    _Lived(one, pattern, people, now).go()


class _Lived:
    def __init__(self, one: Consignment, pattern: Pattern, people: Mapping[str, Person], now: datetime) -> None:
        self.one, self.pattern, self.now = one, pattern, now
        self.manager, self.receiver, self.inspector = people["maren"], people["osk"], people["bryn"]
        self.calendar: WorkCalendar = shop_calendar()

    def go(self) -> None:
        batch = self._ordered()
        for name in ("Partner pre-shipment report", "Transit and customs entry"):
            if not self._worked(self._task(batch, name), self.manager):
                return
        at = self._when(self._task(batch, RECEIVING.name))
        if at is None:
            return
        serials = [build.serial for build in instruments(batch)]
        count_batch(batch=batch, arrived=serials, sample=self.one.sample, person=self.receiver, now=at)
        acclimate_batch(batch=batch, person=self.receiver, now=at)
        for task in Task.objects.filter(build__batch=batch, operation__in=GATES, build__is_drawn=True).order_by("pk"):
            if task.state != TaskState.DONE:
                self._worked(task, self.inspector)
        at = self._when(self._task(batch, DISPOSITION.name))
        if at:
            decide_batch(batch=batch, outcome=Outcome.ACCEPTED, note="", person=self.manager, now=at)

    def _ordered(self) -> Batch:
        at = self.calendar.next_work_moment(self.now - timedelta(days=self.one.ordered_days_ago))
        expected = timezone.localdate(self.now + timedelta(days=self.one.expected_in_days))
        wanted = Wanted(self.pattern, PARTNER, self.one.pieces, self.one.left_pieces, expected, "as the sealed sample")
        return order_batch(wanted=wanted, person=self.manager, now=at)

    def _task(self, batch: Batch, name: str) -> Task:
        return Task.objects.filter(build__batch=batch, operation=name).order_by("pk").first()

    def _when(self, task: Task) -> datetime | None:
        """When the task was taken up; None while that is still to come."""
        if task.ready_at is None:
            return None
        at = self.calendar.next_work_moment(task.ready_at)
        return at if at < self.now else None

    def _worked(self, task: Task, person: Person) -> bool:
        at = self._when(task)
        over = self.calendar.add_work(at, task.usual_h) if at else None
        if over is None or over > self.now:
            return False
        start_task(task_id=task.pk, person=person, now=at)
        done(task_id=task.pk, person=person, now=over)
        return True
