"""How open tasks are put in a row for the plan: each build whole, a batch in stages, what follows despatch apart.

The plan wants every task after its predecessors and the tasks of one order together. A batch's instruments wait for
work done once for the batch, and that for all of them; so each is cut into stages, and a stage is an order of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from routing.ahead import AFTER_DESPATCH
from routing.models import Kind
from routing.planning.rows import OpenBuild, OpenWork

STRIDE = 1 << 16
"""More than there are positions in a build."""

Edges = NDArray[np.int64]
"""Rows of pairs (task, predecessor)."""


def own_edges(build: NDArray[np.int64], work: OpenWork) -> Edges:
    """Pairs of open tasks within their builds."""
    after = work.task["after"]
    task = np.repeat(np.arange(len(after)), [len(each) for each in after])
    position = np.fromiter((place for each in after for place in each), np.int64, len(task))
    key = build * STRIDE + np.asarray(work.task["position"], dtype=np.int64)
    wanted = build[task] * STRIDE + position
    found = np.minimum(np.searchsorted(key, wanted), max(len(key) - 1, 0))
    is_open = key[found] == wanted if len(key) else np.zeros(0, dtype=bool)
    return np.column_stack((task, found))[is_open]


def beyond_edges(build: NDArray[np.int64], work: OpenWork) -> Edges:
    """Pairs of open tasks across the builds of a batch: an instrument's after the batch's, the batch's after all."""
    named = batch_index(build, work)
    pairs = [
        (row, before)
        for row, names in enumerate(work.task["beyond"])
        for before in _beyond(work.builds[build[row]], names, named)
    ]
    return np.array(pairs, dtype=np.int64).reshape(-1, 2)


Named = dict[tuple[int, str, str], list[int]]


def batch_index(build: NDArray[np.int64], work: OpenWork) -> Named:
    """Open tasks of batches by batch, kind of build and operation."""
    named: Named = {}
    for row, (place, operation) in enumerate(zip(build.tolist(), work.task["operation"], strict=True)):
        made = work.builds[place]
        if made.batch is not None:
            named.setdefault((made.batch, made.kind, operation), []).append(row)
    return named


def other_kind(kind: str) -> str:
    """The kind of build a task of that kind waits for beyond its own."""
    return Kind.INSTRUMENT if kind == Kind.BATCH else Kind.BATCH


def _beyond(made: OpenBuild, names: Sequence[str], named: Named) -> Iterator[int]:
    for name in names if made.batch is not None else ():
        yield from named.get((made.batch, other_kind(made.kind), name), ())


def stages(work: OpenWork, own: Edges, beyond: Edges) -> NDArray[np.int64]:
    """The stage of each task: one more than what it waits for beyond its build, and for what follows despatch."""
    after = np.isin(np.array(work.task["operation"], dtype=object), AFTER_DESPATCH)
    stage = np.zeros(len(work), dtype=np.int64)
    while True:
        least = stage.copy()
        np.maximum.at(least, own[:, 0], stage[own[:, 1]] + (after[own[:, 0]] & ~after[own[:, 1]]))
        np.maximum.at(least, beyond[:, 0], stage[beyond[:, 1]] + 1)
        if np.array_equal(least, stage):
            return stage
        stage = least


def in_a_row(build: NDArray[np.int64], work: OpenWork, stage: NDArray[np.int64]) -> NDArray[np.int64]:
    """The tasks in the order the plan wants them: builds of a batch together by stage, all by build and position."""
    groups = np.arange(len(work.builds))
    first: dict[int, int] = {}
    for place, made in enumerate(work.builds):
        if made.batch is not None:
            groups[place] = first.setdefault(made.batch, place)
    position = np.asarray(work.task["position"], dtype=np.int64)
    return np.lexsort((position, build, stage, groups[build]))
