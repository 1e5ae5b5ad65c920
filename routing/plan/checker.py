"""Whether a plan can be carried out: every rule of the shop looked at again, tick by tick, in plain Python.

It shares nothing with the modules that make plans but the statement of the problem.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator

from routing.plan.problem import Plan, Problem


def violations(problem: Problem, plan: Plan) -> list[str]:
    """Everything in the plan that the problem forbids, in words; empty: the plan can be carried out.

    Frozen work is a fact: it is only looked at for having been moved, and where other work collides with it.
    """
    size = len(problem.work.order)
    if not len(plan.start) == len(plan.end) == len(plan.person) == size:
        return [f"the plan has not one start, end and person for each of {size} tasks"]
    return _Check(problem, plan).all()


class _Check:
    """One plan under examination, as plain lists."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        axis, capacity, work = problem.axis, problem.capacity, problem.work
        self.begins, self.ends, self.day = axis.begins.tolist(), axis.ends.tolist(), axis.day.tolist()
        self.places, self.hands = capacity.places.tolist(), capacity.hands.tolist()
        self.able, self.needs_hands = capacity.able.tolist(), capacity.needs_hands.tolist()
        self.work = work
        self.ticks, self.station, self.one_day = work.ticks.tolist(), work.station.tolist(), work.one_day.tolist()
        self.fixed, self.fixed_person = work.fixed.tolist(), work.fixed_person.tolist()
        self.start, self.end, self.person = plan.start.tolist(), plan.end.tolist(), plan.person.tolist()
        self.horizon = len(self.begins)

    def all(self) -> list[str]:
        """Every violation."""
        tasks = range(len(self.start))
        outside = [text for i in tasks for text in self.outside(i)]
        if outside:
            return outside
        each = (self.frozen, self.calendar, self.duration, self.hand, self.not_before, self.precedence)
        found = [text for i in tasks for rule in each for text in rule(i)]
        return [*found, *self.crowded(), *self.twice()]

    def is_frozen(self, i: int) -> bool:
        return self.fixed[i] >= 0

    def outside(self, i: int) -> Iterator[str]:
        if not 0 <= self.start[i] <= self.end[i] <= self.horizon or self.start[i] == self.horizon:
            yield f"task {i} lies outside the horizon: {self.start[i]} to {self.end[i]}"
        if not -1 <= self.person[i] < len(self.hands):
            yield f"task {i} has person {self.person[i]}, who does not exist"

    def frozen(self, i: int) -> Iterator[str]:
        if self.is_frozen(i) and (self.start[i], self.person[i]) != (self.fixed[i], self.fixed_person[i]):
            yield f"task {i} is frozen at {self.fixed[i]} with {self.fixed_person[i]}, but was moved"

    def calendar(self, i: int) -> Iterator[str]:
        split = self.ticks[i] and self.day[self.start[i]] != self.day[self.end[i] - 1]
        if self.one_day[i] and split and not self.is_frozen(i):
            yield f"task {i} must lie in one day, but goes from day {self.day[self.start[i]]} on"
        if self.one_day[i] and self.end[i] - self.start[i] != self.ticks[i] and not self.is_frozen(i):
            yield f"task {i} must not be paused, but is"

    def duration(self, i: int) -> Iterator[str]:
        span = range(self.start[i], self.end[i])
        hands = self.hands[self.person[i]] if self.person[i] >= 0 else None
        worked = sum(hands[tick] for tick in span) if hands else len(span)
        if worked != self.ticks[i]:
            yield f"task {i} takes {self.ticks[i]} ticks, but {worked} are worked"
        if hands and span and not hands[span[-1]]:
            yield f"task {i} ends when its person is away"

    def hand(self, i: int) -> Iterator[str]:
        if self.is_frozen(i) or not self.ticks[i]:
            return
        person, station = self.person[i], self.station[i]
        if self.needs_hands[station] != (person >= 0):
            yield f"task {i} {'needs a person' if person < 0 else 'has a person, but needs none'}"
        elif person >= 0:
            if not self.able[person][station]:
                yield f"task {i}: person {person} may not work at station {station}"
            if not self.hands[person][self.start[i]]:
                yield f"task {i} starts when person {person} is away"

    def not_before(self, i: int) -> Iterator[str]:
        order = int(self.work.order[i])
        if self.start[i] < max(int(self.work.earliest[i]), int(self.work.release[order])) and not self.is_frozen(i):
            yield f"task {i} starts at {self.start[i]}, before it may"

    def precedence(self, i: int) -> Iterator[str]:
        if self.is_frozen(i):
            return
        for k in range(int(self.work.after_ptr[i]), int(self.work.after_ptr[i + 1])):
            before, minutes = int(self.work.after[k]), int(self.work.lag_minutes[self.work.lag[k]])
            if self.begins[self.start[i]] < self.clock_after(before) + minutes:
                yield f"task {i} starts before task {before} and its wait of {minutes} minutes are over"

    def clock_after(self, i: int) -> int:
        """The clock minute at which the task is done; one without ticks is done when its tick begins."""
        end = self.end[i]
        if not self.ticks[i] and end < self.horizon:
            return self.begins[end]
        return self.ends[end - 1] if end else self.begins[0]

    def taken(self, i: int) -> Iterator[tuple[int, int, int]]:
        """Station, begin and end of every place the task takes."""
        start, end, station = self.start[i], self.end[i], self.station[i]
        if not self.ticks[i]:
            return
        rest, rest_at = int(self.work.rests[i]), int(self.work.rest_at[i])
        if rest < 0:
            yield station, start, end
            return
        until = bisect_left(self.begins, self.ends[end - 1] + int(self.work.lag_minutes[rest]))
        if rest_at in (-1, station):
            yield station, start, max(end, until)
        else:
            yield station, start, end
            yield rest_at, start, max(end, until)

    def crowded(self) -> Iterator[str]:
        """Places taken more often than there are, wherever work that is not frozen is part of it."""
        count: Counter[tuple[int, int]] = Counter()
        loose: dict[tuple[int, int], int] = {}
        for i in range(len(self.start)):
            for station, begin, end in self.taken(i):
                for tick in range(begin, end):
                    count[station, tick] += 1
                    if not self.is_frozen(i):
                        loose[station, tick] = i
        for (station, tick), i in loose.items():
            if count[station, tick] > self.places[station][tick]:
                there = f"{count[station, tick]} at station {station} with {self.places[station][tick]} places"
                yield f"at tick {tick} there are {there}, task {i} among them"

    def twice(self) -> Iterator[str]:
        """People with two tasks at once, pauses included, wherever work that is not frozen is part of it."""
        spans: dict[int, list[tuple[int, int, int]]] = {}
        for i, person in enumerate(self.person):
            if person >= 0 and self.ticks[i]:
                spans.setdefault(person, []).append((self.start[i], self.end[i], i))
        for person, rows in spans.items():
            rows.sort()
            for at, (_, end, i) in enumerate(rows):
                for start, _, j in rows[at + 1 :]:
                    if start >= end:
                        break
                    if not (self.is_frozen(i) and self.is_frozen(j)):
                        yield f"person {person} is on task {i} and task {j} at once"
