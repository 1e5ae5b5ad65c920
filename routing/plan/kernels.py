"""The inner loops that find the place of a task, and put tasks in place one after another."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from routing.plan.compiled import compiled
from routing.plan.flat import AFTER, END, ONE_DAY, PERSON, READY, REST_AT, RESTS, START, STATION, TICKS, Desk, Flat
from routing.plan.problem import Ticks


@compiled
def clear(flat: Flat, desk: Desk) -> None:
    """Only frozen work on the desk."""
    for row in range(len(desk.free)):
        for tick in range(desk.free.shape[1]):
            desk.free[row, tick] = flat.free[row, tick]
            desk.hop[row, tick] = flat.hop[row, tick]
    for row in range(3):
        for i in range(flat.plan.shape[1]):
            desk.plan[row, i] = flat.plan[row, i]


@compiled
def hopped(hop: Ticks, row: int, tick: int) -> int:
    """The first tick from there on with something free in that row; shortens the way for the next who asks."""
    while hop[row, tick] != tick:
        hop[row, tick] = hop[row, hop[row, tick]]
        tick = hop[row, tick]
    return tick


@compiled
def last_full(free: NDArray[np.int16], row: int, begin: int, end: int) -> int:
    """The last tick of the stretch with nothing free in that row; -1 where there is none."""
    for tick in range(end - 1, begin - 1, -1):
        if free[row, tick] <= 0:
            return tick
    return -1


@compiled
def run_end(flat: Flat, ticks: int, person: int, start: int) -> int:
    """The end of that many ticks of work, pauses of the person included; beyond the horizon where they do not fit."""
    if person < 0:
        return start + ticks
    last = flat.worked[person, start] + ticks - 1
    return flat.moments[person, last] + 1 if last < flat.moments.shape[1] else flat.moments.shape[1] + 1


@compiled
def day_hindrance(flat: Flat, ticks: int, person: int, start: int, end: int) -> int:
    """The tick after the last pause, or the next day, where work is split that must not be; else -1."""
    if end > flat.day_end[start]:
        return flat.day_end[start]
    if person < 0 or end - start == ticks:
        return -1
    tick = end - 1
    while flat.worked[person, tick + 1] > flat.worked[person, tick]:
        tick -= 1
    return tick + 1


@compiled
def look(flat: Flat, free: NDArray[np.int16], hop: Ticks, i: int, person: int, tick: int) -> int:
    """That tick where the task can start then with that person (-1: none needed), else a later one before which it
    cannot; T: never. All tries go up, so asking again from there finds the earliest start.
    """
    horizon, station, ticks = free.shape[1], flat.tasks[i, STATION], flat.tasks[i, TICKS]
    start = hopped(hop, station, tick)
    row = len(flat.hands_ptr) - 1 + person
    if person >= 0 and start < horizon:
        start = hopped(hop, row, start)
        if start < horizon and flat.worked[person, start] < horizon:
            start = max(start, flat.moments[person, flat.worked[person, start]])
    if start > tick or start >= horizon:
        return start
    end = run_end(flat, ticks, person, start)
    if end > horizon:
        return horizon
    if flat.tasks[i, ONE_DAY]:
        later = day_hindrance(flat, ticks, person, start, end)
        if later >= 0:
            return later
    full = last_full(free, station, start, end)
    if full < 0 and person >= 0:
        full = last_full(free, row, start, end)
    if full < 0 and flat.tasks[i, RESTS] >= 0:
        full = last_full(free, flat.tasks[i, REST_AT], start, max(end, flat.waits[flat.tasks[i, RESTS], end]))
    return start if full < 0 else full + 1


@compiled
def earliest(flat: Flat, free: NDArray[np.int16], hop: Ticks, i: int, person: int, tick: int) -> int:
    """The earliest start of the task from that tick on with that person; T where there is none."""
    horizon = free.shape[1]
    while tick < horizon:
        start = look(flat, free, hop, i, person, tick)
        if start == tick:
            return tick
        tick = start
    return horizon


@compiled
def place(flat: Flat, free: NDArray[np.int16], hop: Ticks, i: int, person: int, tick: int) -> tuple[int, int, int]:
    """Start, end and person of the task from that tick on; start T: there is no place.

    With the person asked for, or, for -1, with whoever is done first (then who starts first, then who can do least
    else). A task without ticks is put there at once.
    """
    station, ticks, horizon = flat.tasks[i, STATION], flat.tasks[i, TICKS], free.shape[1]
    begin, beyond = flat.hands_ptr[station], flat.hands_ptr[station + 1]
    if ticks == 0:
        return tick, tick, -1
    if begin == beyond or person >= 0:
        start = earliest(flat, free, hop, i, person, tick)
        return start, run_end(flat, ticks, person, start) if start < horizon else horizon, person
    best, best_end, best_person = horizon, horizon + 1, -1
    for k in range(begin, beyond):
        start = earliest(flat, free, hop, i, flat.hands_of[k], tick)
        if start < horizon:
            end = run_end(flat, ticks, flat.hands_of[k], start)
            if end < best_end or (end == best_end and start < best):
                best, best_end, best_person = start, end, flat.hands_of[k]
    return best, best_end, best_person


@compiled
def take(free: NDArray[np.int16], hop: Ticks, row: int, begin: int, end: int) -> None:
    """Take one off that row for the stretch."""
    for tick in range(begin, end):
        free[row, tick] -= 1
        if free[row, tick] == 0:
            hop[row, tick] = tick + 1


@compiled
def book(flat: Flat, desk: Desk, i: int, start: int, end: int, person: int) -> None:
    """Put the task there: its place, its person and where it rests are taken."""
    desk.plan[START, i] = start
    desk.plan[END, i] = end
    desk.plan[PERSON, i] = person
    if start == end:
        return
    station, until = flat.tasks[i, STATION], end
    if flat.tasks[i, RESTS] >= 0:
        rested = max(end, flat.waits[flat.tasks[i, RESTS], end])
        if flat.tasks[i, REST_AT] == station:
            until = rested
        else:
            take(desk.free, desk.hop, flat.tasks[i, REST_AT], start, rested)
    take(desk.free, desk.hop, station, start, until)
    if person >= 0:
        take(desk.free, desk.hop, len(flat.hands_ptr) - 1 + person, start, end)


@compiled
def ready_tick(flat: Flat, plan: Ticks, i: int) -> int:
    """The first tick the task may start at; -1 while a predecessor has no end."""
    tick = flat.tasks[i, READY]
    for k in range(flat.tasks[i, AFTER], flat.tasks[i + 1, AFTER]):
        before = plan[END, flat.after[k, 0]]
        if before < 0:
            return -1
        tick = max(tick, flat.waits[flat.after[k, 1], before])
    return tick


@compiled
def insert_kernel(flat: Flat, desk: Desk, sequence: Ticks, persons: Ticks) -> int:
    """Each task in turn at its earliest place, with its person of ``persons`` (-1: anybody); frozen work stays.

    Returns -1, or the first task that finds no place or comes before a predecessor.
    """
    clear(flat, desk)
    for i in sequence:
        if flat.plan[START, i] >= 0:
            continue
        ready = ready_tick(flat, desk.plan, i)
        if ready < 0 or ready >= desk.free.shape[1]:
            return i
        start, end, person = place(flat, desk.free, desk.hop, i, persons[i], ready)
        if start >= desk.free.shape[1]:
            return i
        book(flat, desk, i, start, end, person)
    return -1
