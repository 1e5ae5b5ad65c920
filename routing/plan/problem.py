"""What is to be planned: working time, places and people, tasks; and the plan itself. Integer ticks of 15 minutes."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from routing.plan.reasons import reasons_against
from specs.errors import Problem as Reason
from specs.errors import Refused

TICK_MINUTES = 15
TICKS_A_DAY = 32
NONE = -1

Ticks = NDArray[np.int32]
Minutes = NDArray[np.int64]


class PlanRefused(Refused):
    """Work that cannot be planned, or not on this horizon; carries every reason found."""

    @classmethod
    def for_task(cls, task: int, code: str, message: str) -> PlanRefused:
        """A refusal for one task."""
        return cls([Reason(f"tasks.{task}", code, message)])


@dataclass(frozen=True, eq=False)
class Axis:
    """Working time as a row of ticks; nights, weekends and closed days do not exist on it.

    ``begins`` and ``ends`` are clock minutes of each tick (UTC minutes since 1970 for the shop), rising; ``day`` is
    the number of its working day. ``ticks_a_day`` is the length of an ordinary day, in which lateness is counted.
    """

    begins: Minutes
    ends: Minutes
    day: Ticks
    ticks_a_day: int = TICKS_A_DAY

    def __post_init__(self) -> None:
        _hold(self, begins=np.int64, ends=np.int64, day=np.int32)

    def __len__(self) -> int:
        return len(self.begins)

    def lag_table(self, minutes: int) -> Ticks:
        """For each end of work the first tick that begins at least that many minutes later; length T + 1.

        An end ``e`` is exclusive: work ends with tick ``e - 1``, at its clock time, not when tick ``e`` begins. End 0
        is the beginning of the axis. T where no tick is late enough: beyond the horizon.
        """
        clock = np.concatenate((self.begins[:1], self.ends))
        return np.searchsorted(self.begins, clock + minutes).astype(np.int32)

    def lag_table_from_begins(self, minutes: int) -> Ticks:
        """The same for a moment at which tick ``e`` begins, as a task without ticks has it; T stays T."""
        found = np.searchsorted(self.begins, self.begins + minutes)
        return np.append(found, len(self)).astype(np.int32)

    def first_tick_at(self, minute: int) -> int:
        """The first tick that begins at that clock minute or later; T where there is none."""
        return int(np.searchsorted(self.begins, minute))

    def day_ends(self) -> Ticks:
        """For each tick the end (exclusive) of its working day."""
        return np.searchsorted(self.day, self.day, side="right").astype(np.int32)


@dataclass(frozen=True, eq=False)
class Capacity:
    """``places[station, tick]`` free; ``hands[person, tick]`` at work; ``able[person, station]`` may work there.

    ``needs_hands[station]``: its tasks take a person as well as a place. Without people no station needs one.
    """

    places: NDArray[np.int16]
    hands: NDArray[np.bool_]
    able: NDArray[np.bool_]
    needs_hands: NDArray[np.bool_]

    def __post_init__(self) -> None:
        _hold(self, places=np.int16, hands=np.bool_, able=np.bool_, needs_hands=np.bool_)

    @classmethod
    def without_people(cls, places: NDArray[np.int16]) -> Capacity:
        """Places only."""
        stations, ticks = np.shape(places)
        nobody = np.zeros((0, ticks), dtype=bool)
        return cls(places, nobody, np.zeros((0, stations), dtype=bool), np.zeros(stations, dtype=bool))


@dataclass(frozen=True, eq=False)
class Work:
    """Tasks, contiguous by order and after their predecessors; then the orders.

    A task takes one place of ``station`` from start to end and starts not before ``earliest``, its order's ``release``
    and each predecessor's end plus wait. Predecessors of task i are ``after[after_ptr[i]:after_ptr[i + 1]]``; ``lag``
    beside them names a row of ``lag_minutes``. ``one_day``: not to be split over two days, nor paused.
    ``rests``: the row of ``lag_minutes`` that is still waited for after the work on a place (hook, rack): on the
    task's own place, or on one of station ``rest_at``, which is then taken from the task's start to the wait's end.
    ``fixed``: frozen start, with ``fixed_person``; frozen work is a fact, everything else goes around it.
    -1 means none. A task of 0 ticks takes nothing and marks the beginning of its tick.
    """

    order: Ticks
    station: Ticks
    ticks: Ticks
    one_day: NDArray[np.bool_]
    earliest: Ticks
    after_ptr: Ticks
    after: Ticks
    lag: Ticks
    lag_minutes: Minutes
    release: Ticks
    due: Ticks
    weight: NDArray[np.float64]
    rests: Ticks | None = None
    rest_at: Ticks | None = None
    fixed: Ticks | None = None
    fixed_person: Ticks | None = None

    def __post_init__(self) -> None:
        for name in ("rests", "rest_at", "fixed", "fixed_person"):
            if getattr(self, name) is None:
                object.__setattr__(self, name, np.full(len(self.order), NONE))
        kinds = {each.name: np.int32 for each in fields(self)}
        _hold(self, **kinds | {"one_day": np.bool_, "lag_minutes": np.int64, "weight": np.float64})

    def __len__(self) -> int:
        return len(self.order)


@dataclass(frozen=True, eq=False)
class Problem:
    """Everything a plan must respect."""

    axis: Axis
    capacity: Capacity
    work: Work

    def check(self) -> Problem:
        """The same, where it can be planned at all; raises PlanRefused with every reason."""
        if reasons := reasons_against(self):
            raise PlanRefused(reasons)
        return self


@dataclass(frozen=True, eq=False)
class Plan:
    """Start and end (exclusive) tick of each task, and its person; -1: none."""

    start: Ticks
    end: Ticks
    person: Ticks

    def __post_init__(self) -> None:
        _hold(self, start=np.int32, end=np.int32, person=np.int32)


def _hold(record: Any, **kinds: Any) -> None:
    """Give a frozen record its own arrays of those kinds."""
    for name, kind in kinds.items():
        object.__setattr__(record, name, np.array(getattr(record, name), dtype=kind, order="C"))
