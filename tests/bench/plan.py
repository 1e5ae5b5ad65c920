"""How long a plan takes to make, against one pass of numpy over its arrays; and how that grows with the backlog."""

from __future__ import annotations

import gzip
import json
from collections.abc import Callable
from statistics import median
from time import perf_counter
from typing import Any

import numpy as np
from ready import project

ROOT = project()

from routing.plan.compiled import is_compiled  # noqa: E402
from routing.plan.file import read_problem  # noqa: E402
from routing.plan.flat import Flat, desk_for, flatten  # noqa: E402
from routing.plan.kernels import insert_kernel  # noqa: E402
from routing.plan.problem import Problem  # noqa: E402
from routing.plan.queues import dispatch_kernel, queues_for  # noqa: E402
from routing.plan.rules import RULES, tails  # noqa: E402

ROUNDS = 15
COPIES = (1, 5, 15)
WEEK = 7


def median_ms(act: Callable[[], Any]) -> float:
    """The median of some runs, after one that does not count."""
    act()
    took = []
    for _ in range(ROUNDS):
        start = perf_counter()
        act()
        took.append((perf_counter() - start) * 1000)
    return median(took)


def backlog(copies: int) -> Problem:
    """The measured backlog of 200 orders so many times over, one after another, on a horizon as many times as long."""
    one = json.loads(gzip.decompress((ROOT / "tests/reference/backlog-200.json.gz").read_bytes()))
    days, tasks = len(one["working_days"]), len(one["tasks"])
    span, ticks = (one["working_days"][-1] // WEEK + 1) * WEEK, days * one["ticks_per_day"]
    many: dict[str, list[Any]] = {"working_days": [], "absences": [], "orders": [], "tasks": []}
    for copy in range(copies):
        many["working_days"] += [day + copy * span for day in one["working_days"]]
        many["absences"] += [[station, day + copy * days, places] for station, day, places in one["absences"]]
        many["orders"] += [row | {"due": row["due"] + copy * ticks // 2} for row in one["orders"]]
        many["tasks"] += [_moved(row, copy, len(one["orders"]), tasks) for row in one["tasks"]]
    return read_problem(one | many)


def _moved(row: dict[str, Any], copy: int, orders: int, tasks: int) -> dict[str, Any]:
    after = [[task + copy * tasks, hours] for task, hours in row["after"]]
    return row | {"order": row["order"] + copy * orders, "after": after}


def one_pass(problem: Problem, flat: Flat) -> Callable[[], object]:
    """What no plan can do without: its arrays copied, its tasks sorted, the ends of its orders found."""

    def act() -> object:
        order = np.lexsort((problem.work.ticks, problem.work.due[problem.work.order]))
        return flat.free.copy(), flat.hop.copy(), np.maximum.reduceat(order, problem.work.after_ptr[:-1] % len(order))

    return act


def measure(copies: int) -> None:
    """Print the table of one backlog."""
    problem = backlog(copies)
    flat, work = flatten(problem), problem.work
    desk, queues = desk_for(flat), queues_for(flat)
    by_due = np.lexsort((np.arange(len(work)), work.due[work.order])).astype(np.int32)
    anybody = np.full(len(work), -1, dtype=np.int32)
    floor = median_ms(one_pass(problem, flat))
    rows = {
        "one pass of numpy (the floor)": floor,
        "flatten": median_ms(lambda: flatten(problem)),
        "tails": median_ms(lambda: tails(problem)),
        "insertion by due dates": median_ms(lambda: insert_kernel(flat, desk, by_due, anybody)),
    }
    for name, rule in RULES.items():
        key = rule(problem)
        rows[f"dispatching, {name}"] = median_ms(lambda key=key: dispatch_kernel(flat, desk, queues, key))
    print(f"{len(work.release)} orders, {len(work)} tasks, {len(problem.axis)} ticks")
    for name, ms in rows.items():
        print(f"  {name:32} {ms:9.3f} ms {ms / floor:7.1f} x")


def main() -> None:
    print("compiled" if is_compiled() else "not compiled")
    for copies in COPIES:
        measure(copies)


if __name__ == "__main__":
    main()
