"""The task network of one build: the operations whose condition holds, in table order, each with what it waits for.

A dropped operation hands its predecessors on to its successors.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from routing.adjustments import adjusted_touch_h
from routing.catalogue import OPERATIONS, Operation, Touch
from routing.conditions import WORDS, holds
from specs.document import BuildSpec
from specs.errors import Refused
from specs.facts import OrderFacts

_PLACE = {operation.name: place for place, operation in enumerate(OPERATIONS)}
_SERIES_START = next(place for place, operation in enumerate(OPERATIONS) if operation.starts_series_build)


@dataclass(frozen=True)
class ExpandedTask:
    """An operation on one instrument: hands-on hours, then hours of waiting that occupy nobody."""

    operation: str
    station: str
    after: tuple[str, ...]
    touch_h: Touch
    wait_h: float


def expand(spec: BuildSpec, facts: OrderFacts) -> tuple[ExpandedTask, ...]:
    """Every task whose condition holds, in table order; a series build's batch rows included.

    Raises ``Refused`` at ``finish.kind`` for a finish that has no clear-coat operations, ``ValueError`` where the
    table itself leaves more than one first or last task.
    """
    _refuse_finish_without_rows(spec, facts)
    return _network(_holding(spec, facts), spec, facts)


def build_rows(spec: BuildSpec, facts: OrderFacts) -> tuple[ExpandedTask, ...]:
    """The tasks of ONE instrument as a build stores them: a custom build has them all, a series build those from
    its batch's receiving on, without the rows counted once per batch. Raises as ``expand``."""
    _refuse_finish_without_rows(spec, facts)
    return _network([row for row in _holding(spec, facts) if _counts_per_instrument(row)], spec, facts)


def as_json(tasks: Iterable[ExpandedTask]) -> list[dict[str, Any]]:
    """The tasks as the ``route`` command prints them."""
    return [
        {"operation": task.operation, "station": task.station, "after": list(task.after),
         "touch_h": list(task.touch_h), "wait_h": task.wait_h}
        for task in tasks
    ]  # fmt: skip


def _holding(spec: BuildSpec, facts: OrderFacts) -> list[Operation]:
    return [operation for operation in OPERATIONS if holds(operation.when, spec, facts)]


def _counts_per_instrument(operation: Operation) -> bool:
    before_series_build = "series" in operation.when and _PLACE[operation.name] < _SERIES_START
    return not operation.per_batch and not before_series_build


def _refuse_finish_without_rows(spec: BuildSpec, facts: OrderFacts) -> None:
    if WORDS["custom"](spec, facts) and WORDS["water-borne"](spec, facts):
        message = "water-borne has no clear-coat operations here; choose two-component or nitrocellulose"
        raise Refused.one("finish.kind", "not offered", message)


def _network(kept: Sequence[Operation], spec: BuildSpec, facts: OrderFacts) -> tuple[ExpandedTask, ...]:
    before = _handed_on({operation.name for operation in kept})
    tasks = tuple(
        ExpandedTask(row.name, row.station, before[row.name], adjusted_touch_h(row, spec, facts), row.wait_h)
        for row in kept
    )
    check_network(tasks)
    return tasks


def _handed_on(kept: set[str]) -> dict[str, tuple[str, ...]]:
    """For every row of the table, the kept rows it comes after, in table order, each once."""
    before: dict[str, tuple[str, ...]] = {}
    for operation in OPERATIONS:
        names = {found for name in operation.after for found in ((name,) if name in kept else before[name])}
        before[operation.name] = tuple(sorted(names, key=_PLACE.__getitem__))
    return before


def check_network(tasks: Sequence[ExpandedTask]) -> None:
    """Raises ``ValueError`` unless every task comes after tasks above it only (so nothing runs in a circle) and
    exactly one is first and one last."""
    above: set[str] = set()
    for task in tasks:
        if missing := set(task.after) - above:
            raise ValueError(f"{task.operation} comes after {sorted(missing)}, which are not above it")
        above.add(task.operation)
    followed = {name for task in tasks for name in task.after}
    _require_one("first", [task.operation for task in tasks if not task.after])
    _require_one("last", [task.operation for task in tasks if task.operation not in followed])


def _require_one(which: str, names: list[str]) -> None:
    if len(names) != 1:
        raise ValueError(f"one {which} task is needed, the table leaves {len(names)}: {names}")
