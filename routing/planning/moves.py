"""Two plans side by side: who leaves earlier or later and by how many days, who is late, the fullest station."""

from __future__ import annotations

from datetime import date
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from routing.plan.cost import days_late, ship_ticks
from routing.plan.problem import Plan, Problem
from routing.planning.making import Line, Made
from routing.rota import EPOCH

LOAD_DAYS = 56
"""Load is measured over the next eight weeks: what a manager can still arrange. **Source**: common practice."""

MINUTES_A_DAY = 24 * 60


class Move(NamedTuple):
    """One order: its build or booking (the other is 0), the day it leaves before and after, whether late."""

    build: int
    booking: int
    before: str
    after: str
    days: int
    was_late: bool
    is_late: bool


def compared(before: tuple[Line, Made], after: tuple[Line, Made]) -> dict[str, Any]:
    """What a trial tells, as JSON: the moves, biggest first; each side's figures; the load of the fullest station."""
    moves = _moves(before, after)
    holds, was = busiest(*before)
    return {
        "moves": [list(move) for move in moves if move.days],
        "stayed": sum(not move.days for move in moves),
        "before": _figures(*before),
        "after": _figures(*after),
        "station": before[0].backlog.shop.crew.stations[holds].pk if holds is not None else None,
        "load": [was, _load_of(*after, holds)],
    }


def _moves(before: tuple[Line, Made], after: tuple[Line, Made]) -> list[Move]:
    was, now = _leaves(*before), _leaves(*after)
    moves = []
    for key in was.keys() & now.keys():
        (day, late), (other, is_late) = was[key], now[key]
        moves.append(Move(*key, _iso(day), _iso(other), other - day, late, is_late))
    return sorted(moves, key=lambda move: (-abs(move.days), move.build, move.booking))


def _iso(day: int) -> str:
    return date.fromordinal(day + EPOCH).isoformat()


def _leaves(line: Line, made: Made) -> dict[tuple[int, int], tuple[int, bool]]:
    """The local day each order leaves and whether that is after its promise."""
    ends = ship_ticks(line.problem, made.plan)
    late, day = days_late(line.problem, made.plan) > 0, line.backlog.shop.local_day
    return {key: (int(day[max(ends[order] - 1, 0)]), bool(late[order])) for key, order in line.order_leaves().items()}


def _figures(line: Line, made: Made) -> dict[str, float | int]:
    """Orders with a promise they will miss, the worst and the sum of lateness in working days."""
    late = days_late(line.problem, made.plan)[line.problem.work.weight > 0]
    worst, total = late.max(initial=0.0), late.sum()
    return {"late": int((late > 0).sum()), "worst_days": round(float(worst), 1), "days": round(float(total), 1)}


def busiest(line: Line, made: Made) -> tuple[int | None, float]:
    """The station with hands that is fullest over the next weeks, and how full, as a share."""
    shares = loads(line.problem, made.plan)
    if not shares.any():
        return None, 0.0
    row = int(np.argmax(shares))
    return row, round(float(shares[row]), 3)


def _load_of(line: Line, made: Made, station: int | None) -> float:
    return 0.0 if station is None else round(float(loads(line.problem, made.plan)[station]), 3)


def loads(problem: Problem, plan: Plan) -> NDArray[np.float64]:
    """For each station the planned ticks of work over those its places and hands allow, in the next weeks.

    A station nobody works at (a rack, a hook) has none.
    """
    axis, work, capacity = problem.axis, problem.work, problem.capacity
    end = axis.first_tick_at(int(axis.begins[0]) + LOAD_DAYS * MINUTES_A_DAY)
    span = np.maximum(plan.end - plan.start, 1)
    inside = np.clip(np.minimum(plan.end, end) - plan.start, 0, None) / span * work.ticks
    planned = np.bincount(work.station, inside, minlength=len(capacity.places))
    hands = capacity.able.T.astype(np.int32) @ capacity.hands[:, :end].astype(np.int32)
    there = np.minimum(capacity.places[:, :end], hands).sum(axis=1)
    return np.where(capacity.needs_hands & (there > 0), planned / np.maximum(there, 1), 0.0)
