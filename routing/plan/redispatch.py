"""Dispatching over again after some keys changed, from the first start they can turn until nothing differs any more.

It finds, quicker, what ``dispatch`` would give with the changed keys, where tasks take places only: the search asks it
thousands of times a second, and lets the dispatcher make the dates of what it found.
"""

from __future__ import annotations

from routing.plan.compiled import compiled
from routing.plan.kernels import last_full
from routing.plan.line import BEGUN, COUNT, FOLLOW, LEFT, TRY, UNTIL, WRITTEN, Line, Route, look_back

AHEAD = 2048
MOST_LOOKED_AT = 400


@compiled
def position(line: Line, tick: int) -> int:
    """How many tasks start before that tick in the plan at hand."""
    low, high = 0, len(line.listed)
    while low < high:
        middle = (low + high) // 2
        if line.start[line.listed[middle]] < tick:
            low = middle + 1
        else:
            high = middle
    return low


@compiled
def first_turn(route: Route, line: Line, i: int, key: float) -> int:
    """The first tick at which that task, with that key, could turn who starts; T: it turns nothing."""
    horizon = len(line.first) - 1
    if route.start[i] >= 0 or route.ticks[i] == 0 or key == line.key[i]:
        return horizon
    station = route.station[i]
    if key < line.key[i]:
        for k in range(position(line, line.ready[i]), line.at[i]):
            j = line.listed[k]
            if route.station[j] == station and line.key[j] >= key:
                return line.start[j]
        return horizon
    most = min(line.at[i] + MOST_LOOKED_AT, len(line.listed))
    for k in range(line.at[i] + 1, most):
        j = line.listed[k]
        if route.station[j] == station and line.key[j] <= key and line.ready[j] <= line.start[i]:
            return line.start[i]
    return line.start[i] if most < len(line.listed) else horizon


@compiled
def goes_before(line: Line, i: int, j: int) -> bool:
    """Whether task i goes first."""
    return line.key[i] < line.key[j] or (line.key[i] == line.key[j] and i < j)


@compiled
def queue_up(route: Route, line: Line, i: int) -> None:
    """Let the task wait at its station."""
    station = route.station[i]
    base, at = line.queue_ptr[station], line.waiting[station]
    line.waiting[station] += 1
    while at > 0:
        parent = (at - 1) // 2
        if goes_before(line, line.queue[base + parent], i):
            break
        line.queue[base + at] = line.queue[base + parent]
        at = parent
    line.queue[base + at] = i


@compiled
def leave_head(line: Line, station: int) -> int:
    """The task that goes first at the station, taken out of its queue."""
    base = line.queue_ptr[station]
    line.waiting[station] -= 1
    count, head = line.waiting[station], line.queue[base]
    last, at = line.queue[base + count], 0
    while 2 * at + 1 < count:
        child = 2 * at + 1
        if child + 1 < count and goes_before(line, line.queue[base + child + 1], line.queue[base + child]):
            child += 1
        if not goes_before(line, line.queue[base + child], last):
            break
        line.queue[base + at] = line.queue[base + child]
        at = child
    line.queue[base + at] = last
    return head


@compiled
def write_free(route: Route, line: Line, tick: int) -> None:
    """Write what is free up to that tick at least: places that nobody has taken yet."""
    begin, end = line.now[WRITTEN], min(tick + AHEAD, route.free.shape[1])
    for station in range(route.free.shape[0]):
        for u in range(begin, end):
            line.free[station, u] = route.free[station, u]
    for u in range(begin, end):
        line.wake[u] = line.rise[u]
    line.now[WRITTEN] = end


@compiled
def occupy(line: Line, station: int, begin: int, end: int) -> None:
    """Take a place of the station for that stretch; look at the station when it is over."""
    for tick in range(begin, end):
        line.free[station, tick] -= 1
    line.wake[end] |= 1 << station


@compiled
def arrive_at(line: Line, i: int, tick: int) -> None:
    """The task comes to its station at that tick."""
    if tick < len(line.first):
        line.next[i] = line.first[tick]
        line.first[tick] = i


@compiled
def open_at(route: Route, line: Line, tick: int) -> None:
    """The shop as it stands at that tick in the plan at hand: who is at work, who waits, who comes later."""
    begin = position(line, tick)
    line.now[TRY] += 1
    line.now[COUNT], line.now[BEGUN], line.now[WRITTEN], line.now[FOLLOW], line.now[UNTIL] = 0, begin, tick, 0, 0
    line.first[tick:] = -1
    line.waiting[:] = 0
    write_free(route, line, tick + route.longest)
    k = begin - 1
    while k >= 0 and line.start[line.listed[k]] + route.longest > tick:
        i = line.listed[k]
        if route.start[i] < 0 and line.end[i] > tick:
            occupy(line, route.station[i], tick, line.end[i])
        k -= 1
    for k in range(begin, len(line.listed)):
        i = line.listed[k]
        if line.last[i] < tick and route.start[i] < 0:
            arrive_at(line, i, max(tick, line.ready[i]))
    line.wake[tick] = -1


@compiled
def is_settled(route: Route, line: Line, i: int) -> bool:
    """Whether the task has its place in the trial."""
    return line.settled[i] == line.now[TRY] or line.at[i] < line.now[BEGUN] or route.start[i] >= 0


@compiled
def end_now(line: Line, i: int) -> int:
    """End of a task in the trial."""
    return line.new_end[i] if line.settled[i] == line.now[TRY] else line.end[i]


@compiled
def call_next(route: Route, line: Line, i: int) -> None:
    """A follower of a settled task comes to its station once all its predecessors have their place."""
    ready = route.ready[i]
    for k in range(route.after_ptr[i], route.after_ptr[i + 1]):
        before = route.after[k]
        if not is_settled(route, line, before):
            return
        ready = max(ready, route.waits[route.lag[k], end_now(line, before)])
    line.new_ready[i] = ready
    arrive_at(line, i, ready)


@compiled
def settle(route: Route, line: Line, i: int, tick: int) -> None:
    """The task starts at that tick; its followers and whoever waits for its place will be looked at."""
    end, station = tick + route.ticks[i], route.station[i]
    line.new_start[i], line.new_end[i], line.settled[i] = tick, end, line.now[TRY]
    line.trail[line.now[COUNT]] = i
    line.now[COUNT] += 1
    occupy(line, station, tick, end)
    line.now[FOLLOW] -= line.touched[i] == line.now[TRY]
    line.now[LEFT] -= line.moved[i] == line.now[TRY]
    differs = tick != line.start[i]
    if differs:
        line.now[UNTIL] = max(line.now[UNTIL], end, line.end[i])
    for k in range(route.then_ptr[i], route.then_ptr[i + 1]):
        j = route.then[k]
        if route.start[j] < 0:
            if differs and line.touched[j] != line.now[TRY]:
                line.touched[j] = line.now[TRY]
                line.now[FOLLOW] += 1
            call_next(route, line, j)


@compiled
def start_or_wait(route: Route, line: Line, i: int, tick: int) -> None:
    """Start the task if it can be done from that tick on; else it comes back when it could."""
    end = tick + route.ticks[i]
    if end > route.free.shape[1]:
        return
    if route.one_day[i] and end > route.day_end[tick]:
        arrive_at(line, i, route.day_end[tick])
        return
    full = last_full(line.free, route.station[i], tick, end)
    if full < 0:
        settle(route, line, i, tick)
    else:
        arrive_at(line, i, full + 1)


@compiled
def pass_tick(route: Route, line: Line, tick: int) -> None:
    """Whoever arrives queues up; at each station to be looked at, the first start."""
    wake = line.wake[tick]
    while line.first[tick] >= 0:
        i = line.first[tick]
        line.first[tick] = line.next[i]
        if route.ticks[i] == 0:
            settle(route, line, i, tick)
        else:
            queue_up(route, line, i)
            wake |= 1 << route.station[i]
    if wake == 0:
        return
    for station in range(len(line.waiting)):
        if wake >> station & 1:
            while line.waiting[station] > 0 and line.free[station, tick] > 0:
                start_or_wait(route, line, leave_head(line, station), tick)


@compiled
def replay(route: Route, line: Line, tick: int) -> bool:
    """Dispatch from that tick on until nothing differs from the plan at hand; whether every task found a place.

    Keys are changed and ``moved`` and ``now[LEFT]`` set before. Afterwards ``trail`` holds the tasks settled anew.
    """
    open_at(route, line, tick)
    wanting, passed, k = len(line.listed) - line.now[BEGUN], 0, line.now[BEGUN]
    for i in range(k, len(line.listed)):
        wanting -= route.start[line.listed[i]] >= 0
    for now in range(tick, route.free.shape[1]):
        if now + route.longest >= line.now[WRITTEN]:
            write_free(route, line, now + route.longest)
        pass_tick(route, line, now)
        if line.now[COUNT] == wanting:
            return True
        while k < len(line.listed) and line.start[line.listed[k]] <= now:
            passed += route.start[line.listed[k]] < 0
            k += 1
        same = line.now[COUNT] == passed and line.now[UNTIL] <= now + 1
        if same and line.now[FOLLOW] == 0 and line.now[LEFT] == 0:
            return True
    return False


@compiled
def keep(route: Route, line: Line) -> None:
    """The trial becomes the plan at hand."""
    for k in range(line.now[COUNT]):
        i = line.trail[k]
        line.start[i], line.end[i] = line.new_start[i], line.new_end[i]
        line.listed[line.now[BEGUN] + k] = i
    for k in range(line.now[COUNT]):
        i = line.trail[k]
        for m in range(route.then_ptr[i], route.then_ptr[i + 1]):
            look_back(route, line, route.then[m])
    in_order(line, line.now[BEGUN], line.now[BEGUN] + line.now[COUNT])


@compiled
def in_order(line: Line, begin: int, end: int) -> None:
    """Sort that stretch of the list by start, then number, where it nearly is so."""
    for k in range(begin, end):
        i, at = line.listed[k], k
        while at > begin:
            j = line.listed[at - 1]
            if line.start[j] < line.start[i] or (line.start[j] == line.start[i] and j < i):
                break
            line.listed[at] = j
            line.at[j] = at
            at -= 1
        line.listed[at] = i
        line.at[i] = at
