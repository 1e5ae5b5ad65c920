"""Work the plan leaves alone: what is on a bench, and what the published plan starts today or the next working day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from routing.models import TaskState
from routing.plan.problem import NONE, Work
from routing.planning.capacity import ShopCapacity

FROZEN_DAYS = 2
"""Working days, today's included, whose planned starts stay. **Source**: common practice, no source."""


class Planned(NamedTuple):
    """Where the published plan has a task."""

    start: datetime
    person: int | None


@dataclass
class Frozen:
    """Frozen starts and people by row of ``work``; -1: free. Facts must not collide, so each is tried in turn."""

    shop: ShopCapacity
    work: Work
    fixed: NDArray[np.int32] = field(init=False)
    person: NDArray[np.int32] = field(init=False)
    ends: dict[int, int] = field(init=False, default_factory=dict)
    taken: NDArray[np.int16] = field(init=False)
    booked: NDArray[np.bool_] = field(init=False)

    def __post_init__(self) -> None:
        self.fixed = np.full(len(self.work), NONE, dtype=np.int32)
        self.person = np.full(len(self.work), NONE, dtype=np.int32)
        self.taken = np.zeros_like(self.shop.capacity.places)
        self.booked = np.zeros_like(self.shop.capacity.hands)

    def on_bench(self, row: int, person: int) -> bool:
        """Freeze a task somebody has in hand, from the first moment they are at work."""
        at_work = np.flatnonzero(self.shop.capacity.hands[person])
        return bool(len(at_work)) and self._put(row, int(at_work[0]), person)

    def planned(self, row: int, start: int, person: int) -> bool:
        """Freeze a planned start where everything before it is over by then and whoever does it is there."""
        hands, able = self.shop.capacity.hands, self.shop.capacity.able
        if person != NONE and not (hands[person, start] and able[person, self.work.station[row]]):
            return False
        return self._is_free(row, start) and self._put(row, start, person)

    def _is_free(self, row: int, start: int) -> bool:
        if start < self.work.earliest[row] or start < self.work.release[self.work.order[row]]:
            return False
        span = slice(self.work.after_ptr[row], self.work.after_ptr[row + 1])
        return all(
            before in self.ends and self._over(self.ends[before], lag) <= start
            for before, lag in zip(self.work.after[span].tolist(), self.work.lag[span].tolist(), strict=True)
        )

    def _over(self, end: int, lag: int) -> int:
        axis = self.shop.axis
        clock = axis.ends[end - 1] if end else axis.begins[0]
        return axis.first_tick_at(int(clock + self.work.lag_minutes[lag]))

    def _put(self, row: int, start: int, person: int) -> bool:
        end = self._end(row, start, person)
        if end is None:
            return False
        span, station = slice(start, end), self.work.station[row]
        full = self.taken[station, span] >= self.shop.capacity.places[station, span]
        if full.any() or (person != NONE and self.booked[person, span].any()):
            return False
        self.taken[station, span] += 1
        if person != NONE:
            self.booked[person, span] = True
        self.fixed[row], self.person[row], self.ends[row] = start, person, end
        return True

    def _end(self, row: int, start: int, person: int) -> int | None:
        """The end (exclusive) of work begun there; None where the horizon or the working day is too short."""
        ticks, axis = int(self.work.ticks[row]), self.shop.axis
        worked = np.arange(start, len(axis)) if person == NONE else start + np.flatnonzero(
            self.shop.capacity.hands[person, start:])  # fmt: skip
        if ticks > len(worked):
            return None
        end = int(worked[ticks - 1]) + 1 if ticks else start
        if self.work.one_day[row] and ticks and (end - start > ticks or axis.day[end - 1] != axis.day[start]):
            return None
        return end


def freeze(
    shop: ShopCapacity, work: Work, task: Mapping[str, list[Any]], rows: NDArray[np.int64],
    planned: Mapping[int, Planned],
) -> Frozen:  # fmt: skip
    """What stays as it is. ``rows`` gives for each task of ``work`` its row in ``task``.

    A person who has two tasks on the bench works on the one taken up last; a task that no longer fits is free.
    """
    frozen = Frozen(shop, work)
    hand = shop.crew.person_rows
    for row, person in _on_bench(task, rows):
        if person in hand:
            frozen.on_bench(row, hand[person])
    for row, start, person in sorted(_starting_soon(shop, task, rows, planned), key=lambda each: (each[1], each[0])):
        if frozen.fixed[row] == NONE:
            frozen.planned(row, start, NONE if person is None else hand.get(person, NONE))
    return frozen


def _on_bench(task: Mapping[str, list[Any]], rows: NDArray[np.int64]) -> list[tuple[int, int]]:
    found = [
        (task["started_at"][old], new, task["person_id"][old])
        for new, old in enumerate(rows.tolist())
        if task["state"][old] == TaskState.ON_BENCH
    ]
    return [(new, person) for _at, new, person in sorted(found, reverse=True)]


def _starting_soon(
    shop: ShopCapacity, task: Mapping[str, list[Any]], rows: NDArray[np.int64], planned: Mapping[int, Planned]
) -> Iterator[tuple[int, int, int | None]]:
    for new, old in enumerate(rows.tolist() if planned else ()):
        found = planned.get(task["pk"][old])
        if found is None or task["state"][old] not in (TaskState.READY, TaskState.NOT_READY):
            continue
        start = shop.tick_at(found.start)
        begun = found.start.timestamp() / 60 < shop.axis.begins[0]
        if not begun and start < len(shop.axis) and shop.axis.day[start] < FROZEN_DAYS:
            yield new, start, found.person
