"""Why a quoted order leaves on its day, step by step, and what would let it leave earlier."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime

from django.utils import timezone
from django.utils.translation import gettext as _

from routing.expand import ExpandedTask
from routing.plan.problem import PlanRefused
from routing.plan.quote import Link, QuotedOrder, quote
from routing.planning.ordered import LIVED, OrderedWork, order_work
from routing.planning.published import Standing

TICKS_A_DAY = 32
LEAST_QUEUE = TICKS_A_DAY // 2
"""A shorter queue, in ticks, is the shop's ordinary rhythm and not told."""

LEAST_WAIT = 24 * 60
PERMIT, PARTS = "Export permit obtained", "Long-lead parts ordered"


@dataclass(frozen=True)
class Step:
    """One task of the chain: its days, working days in line before it, clock days it waits after the one before."""

    operation: str
    station: str
    begins_on: date
    ends_on: date
    queue_days: float
    for_place: bool
    wait_days: float
    after: str


@dataclass(frozen=True)
class Why:
    """The chain that decides the date; the station that holds it longest; parts or a permit it waits for; in days."""

    steps: tuple[Step, ...]
    holds: str
    holds_days: float
    for_place: bool
    waits_days: float
    work_days: float
    waits_for: tuple[str, ...]

    @property
    def told(self) -> str:
        """One sentence: what the date is made of."""
        parts = [_("{n} working days of work").format(n=_half(self.work_days))]
        parts.append(_("{n} days of cure, rest and answers").format(n=_half(self.waits_days)))
        if self.holds:
            what = _("a free place") if self.for_place else _("free hands")
            parts.append(_("{n} working days in line for {what} at {station}").format(
                n=_half(self.holds_days), what=what, station=_(self.holds)
            ))  # fmt: skip
        return ", ".join(parts)


@dataclass(frozen=True)
class Sooner:
    """Something that would let the order leave earlier, and by how many calendar days."""

    what: str
    days: int


def why(here: Standing, ordered: OrderedWork, place: QuotedOrder) -> Why:
    """The reasons of a quoted order."""
    steps = tuple(_step(here, ordered, link) for link in place.chain)
    queues: dict[int, int] = {}
    for link in place.chain:
        station = int(ordered.work.station[link.task])
        queues[station] = queues.get(station, 0) + link.queue
    holds = max(queues, key=lambda station: queues[station])
    at = [link for link in place.chain if int(ordered.work.station[link.task]) == holds]
    is_told = queues[holds] >= LEAST_QUEUE
    return Why(
        steps=steps,
        holds=here.shop.crew.stations[holds].name if is_told else "",
        holds_days=queues[holds] / TICKS_A_DAY,
        for_place=2 * sum(link.queue for link in at if link.for_place) >= queues[holds],
        waits_days=sum(link.wait_minutes for link in place.chain) / (24 * 60),
        work_days=sum(int(ordered.work.ticks[link.task]) for link in place.chain) / TICKS_A_DAY,
        waits_for=tuple(_(step.operation) for step in steps if step.operation in (PERMIT, PARTS)),
    )


def _step(here: Standing, ordered: OrderedWork, link: Link) -> Step:
    task, axis = ordered.tasks[link.task], here.shop.axis
    return Step(
        operation=task.operation,
        station=task.station,
        begins_on=_day(int(axis.begins[min(link.start, len(axis) - 1)])),
        ends_on=_day(int(axis.ends[max(link.end - 1, 0)])),
        queue_days=link.queue / TICKS_A_DAY,
        for_place=link.for_place,
        wait_days=link.wait_minutes / (24 * 60),
        after=ordered.tasks[link.before].operation if link.before >= 0 else "",
    )


def _day(minute: int) -> date:
    return timezone.localdate(datetime.fromtimestamp(60 * minute, UTC))


def _half(days: float) -> str:
    """Days to the half, without a needless nought."""
    return f"{round(2 * days) / 2:g}"


def sooner(
    here: Standing, ordered: OrderedWork, place: QuotedOrder, others: Mapping[str, Sequence[ExpandedTask]]
) -> tuple[Sooner, ...]:
    """What would bring the date forward by a day at least, the most first; each laid into the plan anew."""
    minute = int(here.shop.axis.ends[max(place.end - 1, 0)])
    gains = [(what, (_day(minute) - _day(int(here.shop.axis.ends[max(end - 1, 0)]))).days)
             for what, end in _other_ends(here, ordered, place, others)]  # fmt: skip
    return tuple(Sooner(what, days) for what, days in sorted(gains, key=lambda gain: -gain[1]) if days > 0)


def _other_ends(
    here: Standing, ordered: OrderedWork, place: QuotedOrder, others: Mapping[str, Sequence[ExpandedTask]]
) -> Iterator[tuple[str, int]]:
    held = _holding(ordered, place)
    if held is not None:
        station = here.shop.crew.stations[held]
        what = _("one more place with a pair of hands at {station}, or as much overtime").format(
            station=_(station.name)
        )
        yield what, quote(here.with_one_more(held), ordered.work, ordered.last, explain=False).end
        yield (
            _("first in line, before everything that has not begun"),
            quote(here.first, ordered.work, ordered.last, explain=False).end,
        )
    for what, tasks in others.items():
        try:
            other = order_work(tasks, here.shop, release=int(ordered.work.release[0]))
            yield what, quote(here.profile, other.work, other.last, explain=False).end
        except PlanRefused:
            continue


def _holding(ordered: OrderedWork, place: QuotedOrder) -> int | None:
    queues: dict[int, int] = {}
    for link in place.chain:
        if ordered.tasks[link.task].operation not in LIVED:
            station = int(ordered.work.station[link.task])
            queues[station] = queues.get(station, 0) + link.queue
    held = max(queues, key=lambda station: queues[station], default=None)
    return held if held is not None and queues[held] >= LEAST_QUEUE else None
