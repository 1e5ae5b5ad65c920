"""The task network of one build: the operations whose condition holds, in table order, each with what it waits for.

A dropped operation hands its predecessors on to its successors.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from routing.adjustments import CATALOGUE_ONLY, EstimateTable, adjusted_touch_h
from routing.catalogue import OPERATIONS, Operation, Touch
from routing.conditions import WORDS, holds
from specs.document import BuildSpec
from specs.errors import Refused
from specs.facts import OrderFacts

_PLACE = {operation.name: place for place, operation in enumerate(OPERATIONS)}
_SERIES_START = next(place for place, operation in enumerate(OPERATIONS) if operation.starts_series_build)


@dataclass(frozen=True)
class ExpandedTask:
    """An operation on one instrument: hands-on hours, then hours of waiting that occupy nobody.

    ``beyond`` names what else it waits for: for an instrument rows of its batch, for a batch rows of every instrument.
    """

    operation: str
    station: str
    after: tuple[str, ...]
    touch_h: Touch
    wait_h: float
    beyond: tuple[str, ...] = ()


def expand(spec: BuildSpec, facts: OrderFacts, estimates: EstimateTable = CATALOGUE_ONLY) -> tuple[ExpandedTask, ...]:
    """Every task whose condition holds, in table order; a series build's batch rows included.

    Raises ``Refused`` at ``finish.kind`` for a finish that has no clear-coat operations, ``ValueError`` where the
    table itself leaves more than one first or last task.
    """
    _refuse_finish_without_rows(spec, facts)
    return _network(_holding(spec, facts), spec, facts, estimates)


def build_rows(
    spec: BuildSpec,
    facts: OrderFacts,
    estimates: EstimateTable = CATALOGUE_ONLY,
    left_out: Container[str] = (),
) -> tuple[ExpandedTask, ...]:
    """The tasks of ONE instrument as a build stores them: a custom build has them all, a series build those from
    its batch's receiving on, without the rows counted once per batch; ``left_out`` names operations this instrument
    is spared. Raises as ``expand``."""
    _refuse_finish_without_rows(spec, facts)
    rows = _holding(spec, facts)
    kept = [row for row in rows if _counts_per_instrument(row) and row.name not in left_out]
    return _network(kept, spec, facts, estimates, [row for row in rows if not _counts_per_instrument(row)])


def batch_rows(
    spec: BuildSpec, facts: OrderFacts, estimates: EstimateTable = CATALOGUE_ONLY
) -> tuple[ExpandedTask, ...]:
    """The tasks counted once for a whole batch of such instruments; none where ``facts`` say custom."""
    rows = _holding(spec, facts)
    kept = [row for row in rows if not _counts_per_instrument(row)]
    others = [row for row in rows if _counts_per_instrument(row)]
    return _network(kept, spec, facts, estimates, others) if kept else ()


def part_rows(
    spec: BuildSpec, facts: OrderFacts, names: Container[str], pieces: int, estimates: EstimateTable = CATALOGUE_ONLY
) -> tuple[ExpandedTask, ...]:
    """The named operations alone, for so many pieces at once: so many times the hours, one wait.

    Raises ``ValueError`` where they leave more than one first or last task.
    """
    kept = [row for row in _holding(spec, facts) if row.name in names]
    return tuple(
        replace(row, touch_h=Touch(*(round(pieces * hour, 6) for hour in row.touch_h)))
        for row in _network(kept, spec, facts, estimates)
    )


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


def _network(
    kept: Sequence[Operation],
    spec: BuildSpec,
    facts: OrderFacts,
    estimates: EstimateTable,
    others: Sequence[Operation] = (),
) -> tuple[ExpandedTask, ...]:
    """The kept rows with what each waits for among them, and beyond them among the ``others``."""
    before = _handed_on({operation.name for operation in kept})
    beyond = {operation.name for operation in others}
    tasks = tuple(
        ExpandedTask(
            row.name, row.station, before[row.name], adjusted_touch_h(row, spec, facts, estimates), row.wait_h,
            tuple(name for name in row.after if name in beyond),
        )
        for row in kept
    )  # fmt: skip
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
