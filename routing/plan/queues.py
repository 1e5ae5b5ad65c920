"""The inner loops of dispatching: time goes by, and whoever comes first among the waiting starts."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from routing.plan.compiled import compiled
from routing.plan.flat import AFTER, START, STATION, THEN, TICKS, Desk, Flat
from routing.plan.kernels import book, clear, look, ready_tick, run_end
from routing.plan.problem import NONE, Ticks

STATIC, ARRIVAL, RATIO, URGENCY = range(4)
BASE, WAITING, BEST = range(3)
NEXT, PENDING = range(2)


class Key(NamedTuple):
    """Who comes first: the least value, then the lower task number.

    ``STATIC``: ``first``. ``ARRIVAL``: the tick the task became ready. ``RATIO``: (first - now) / second.
    ``URGENCY``: max(0, first - now) / scale + second.
    """

    kind: int
    first: NDArray[np.float64]
    second: NDArray[np.float64]
    scale: float


class Queues(NamedTuple):
    """Who waits; used again and again, by one thread at a time.

    ``first[tick]`` and ``links[task, NEXT]``: tasks to be looked at on that tick. ``links[task, PENDING]``:
    predecessors without a place. ``queue``: tasks waiting at their station, ``stations[station]`` says from where
    on (``BASE``), how many (``WAITING``) and who comes first now (``BEST``); ``value`` is what they are ranked by.
    """

    first: Ticks
    links: Ticks
    queue: Ticks
    stations: Ticks
    value: NDArray[np.float64]


def queues_for(flat: Flat) -> Queues:
    """Empty queues for that problem."""
    tasks, stations = flat.plan.shape[1], len(flat.hands_ptr) - 1
    here = np.bincount(flat.tasks[:-1, STATION], minlength=stations)
    rows = np.full((stations, 3), NONE, dtype=np.int32)
    rows[:, BASE] = np.cumsum(here) - here
    first = np.full(flat.free.shape[1], NONE, dtype=np.int32)
    links, queue = np.full((tasks, 2), NONE, dtype=np.int32), np.full(tasks, NONE, dtype=np.int32)
    return Queues(first, links, queue, rows, np.zeros(tasks))


@compiled
def value_now(queues: Queues, key: Key, i: int, tick: int) -> float:
    """What the task is ranked by at that tick."""
    if key.kind == RATIO:
        return (key.first[i] - tick) / key.second[i]
    if key.kind == URGENCY:
        return max(0.0, key.first[i] - tick) / key.scale + key.second[i]
    return queues.value[i]


@compiled
def comes_before(queues: Queues, i: int, j: int) -> bool:
    """Whether task i goes first, by the values on the desk."""
    return queues.value[i] < queues.value[j] or (queues.value[i] == queues.value[j] and i < j)


@compiled
def push(queues: Queues, key: Key, station: int, i: int) -> None:
    """Let a task wait at its station; where values stand still, in a heap."""
    base, at = queues.stations[station, BASE], queues.stations[station, WAITING]
    queues.stations[station, WAITING] += 1
    while key.kind <= ARRIVAL and at > 0:
        parent = (at - 1) // 2
        if comes_before(queues, queues.queue[base + parent], i):
            break
        queues.queue[base + at] = queues.queue[base + parent]
        at = parent
    queues.queue[base + at] = i


@compiled
def front(queues: Queues, key: Key, station: int, tick: int) -> int:
    """The task that comes first at the station, put at the head of its queue."""
    base = queues.stations[station, BASE]
    if key.kind <= ARRIVAL:
        return queues.queue[base]
    best = base
    for at in range(base, base + queues.stations[station, WAITING]):
        i = queues.queue[at]
        queues.value[i] = value_now(queues, key, i, tick)
        if comes_before(queues, i, queues.queue[best]):
            best = at
    queues.queue[base], queues.queue[best] = queues.queue[best], queues.queue[base]
    return queues.queue[base]


@compiled
def drop_head(queues: Queues, key: Key, station: int) -> None:
    """Take the head of the queue away."""
    base = queues.stations[station, BASE]
    queues.stations[station, WAITING] -= 1
    count = queues.stations[station, WAITING]
    last, at = queues.queue[base + count], 0
    while key.kind <= ARRIVAL and 2 * at + 1 < count:
        child = 2 * at + 1
        if child + 1 < count and comes_before(queues, queues.queue[base + child + 1], queues.queue[base + child]):
            child += 1
        if not comes_before(queues, queues.queue[base + child], last):
            break
        queues.queue[base + at] = queues.queue[base + child]
        at = child
    queues.queue[base + at] = last


@compiled
def shelve(queues: Queues, i: int, tick: int) -> None:
    """Look at the task again at that tick; never where it lies beyond the horizon."""
    if tick < len(queues.first):
        queues.links[i, NEXT] = queues.first[tick]
        queues.first[tick] = i


@compiled
def become_ready(flat: Flat, desk: Desk, queues: Queues, key: Key, i: int) -> None:
    """All predecessors have their place: the task arrives when they and their waits are over."""
    ready = ready_tick(flat, desk.plan, i)
    queues.value[i] = ready if key.kind == ARRIVAL else key.first[i]
    shelve(queues, i, ready)


@compiled
def open_queues(flat: Flat, desk: Desk, queues: Queues, key: Key) -> int:
    """Nobody waits, only what is ready at once is shelved; returns how many tasks want a place."""
    clear(flat, desk)
    queues.first[:] = -1
    queues.stations[:, WAITING] = 0
    wanting = 0
    for i in range(flat.plan.shape[1]):
        queues.links[i, PENDING] = 0
        if flat.plan[START, i] >= 0:
            continue
        wanting += 1
        for k in range(flat.tasks[i, AFTER], flat.tasks[i + 1, AFTER]):
            queues.links[i, PENDING] += flat.plan[START, flat.after[k, 0]] < 0
        if queues.links[i, PENDING] == 0:
            become_ready(flat, desk, queues, key, i)
    return wanting


@compiled
def settle(flat: Flat, desk: Desk, queues: Queues, key: Key, i: int, start: int, end: int, person: int) -> None:
    """Put the task there and let its followers know."""
    book(flat, desk, i, start, end, person)
    for k in range(flat.tasks[i, THEN], flat.tasks[i + 1, THEN]):
        j = flat.then[k]
        if flat.plan[START, j] < 0:
            queues.links[j, PENDING] -= 1
            if queues.links[j, PENDING] == 0:
                become_ready(flat, desk, queues, key, j)


@compiled
def arrive(flat: Flat, desk: Desk, queues: Queues, key: Key, tick: int) -> int:
    """Whoever is due at that tick queues up; tasks without ticks are done at once. Returns how many."""
    done = 0
    while queues.first[tick] >= 0:
        i = queues.first[tick]
        queues.first[tick] = queues.links[i, NEXT]
        if flat.tasks[i, TICKS] == 0:
            settle(flat, desk, queues, key, i, tick, tick, -1)
            done += 1
        else:
            push(queues, key, flat.tasks[i, STATION], i)
    return done


@compiled
def is_open(flat: Flat, desk: Desk, queues: Queues, station: int, tick: int) -> bool:
    """Whether somebody waits there, a place is free, and a person who may work there."""
    if queues.stations[station, WAITING] == 0 or desk.free[station, tick] <= 0:
        return False
    if flat.hands_ptr[station] == flat.hands_ptr[station + 1]:
        return True
    for k in range(flat.hands_ptr[station], flat.hands_ptr[station + 1]):
        person = flat.hands_of[k]
        row = len(flat.hands_ptr) - 1 + person
        if flat.worked[person, tick + 1] > flat.worked[person, tick] and desk.free[row, tick] > 0:
            return True
    return False


@compiled
def best_at(flat: Flat, desk: Desk, queues: Queues, key: Key, station: int, tick: int) -> int:
    """The task that comes first at the station, if one can start there; else -1."""
    return front(queues, key, station, tick) if is_open(flat, desk, queues, station, tick) else -1


@compiled
def try_now(flat: Flat, desk: Desk, i: int, tick: int) -> tuple[int, int, int]:
    """That tick, the end and the person done first, where the task can start now; else when to look again."""
    station, ticks = flat.tasks[i, STATION], flat.tasks[i, TICKS]
    begin, beyond = flat.hands_ptr[station], flat.hands_ptr[station + 1]
    if begin == beyond:
        again = look(flat, desk.free, desk.hop, i, -1, tick)
        return again, again + ticks, -1
    again, best_end, best = desk.free.shape[1], desk.free.shape[1] + 1, -1
    for k in range(begin, beyond):
        person = flat.hands_of[k]
        at = look(flat, desk.free, desk.hop, i, person, tick)
        again = min(again, at)
        if at == tick:
            end = run_end(flat, ticks, person, tick)
            if end < best_end:
                best_end, best = end, person
    return again, best_end, best


@compiled
def first_station(queues: Queues) -> int:
    """The station whose best task comes first of all; -1: none is left."""
    found, best = -1, -1
    for station in range(len(queues.stations)):
        i = queues.stations[station, BEST]
        if i >= 0 and (best < 0 or comes_before(queues, i, best)):
            found, best = station, i
    return found


@compiled
def serve(flat: Flat, desk: Desk, queues: Queues, key: Key, tick: int) -> int:
    """Start whatever can start at that tick, the first first; returns how many tasks."""
    waiting = 0
    for station in range(len(queues.stations)):
        queues.stations[station, BEST] = best_at(flat, desk, queues, key, station, tick)
        waiting += queues.stations[station, BEST] >= 0
    done = 0
    while waiting > 0:
        station = first_station(queues)
        if station < 0:
            break
        i = queues.stations[station, BEST]
        drop_head(queues, key, station)
        start, end, person = try_now(flat, desk, i, tick)
        if start == tick:
            settle(flat, desk, queues, key, i, start, end, person)
            done += 1
        else:
            shelve(queues, i, start)
        queues.stations[station, BEST] = best_at(flat, desk, queues, key, station, tick)
    return done


@compiled
def dispatch_kernel(flat: Flat, desk: Desk, queues: Queues, key: Key) -> int:
    """Time goes by tick by tick, whoever comes first by the key and can start then starts; frozen work stays.

    Returns -1, or a task that found no place before the horizon.
    """
    wanting = open_queues(flat, desk, queues, key)
    for tick in range(len(queues.first)):
        if wanting == 0:
            return -1
        wanting -= arrive(flat, desk, queues, key, tick) + serve(flat, desk, queues, key, tick)
    for i in range(flat.plan.shape[1]):
        if desk.plan[START, i] < 0 and queues.links[i, PENDING] == 0:
            return i
    return -1
