"""How a choice of the order changes the hours of the table: data, each row with its source."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from routing.catalogue import DATA, LONGEST_TOUCH_H, OPERATIONS, Operation, Touch
from routing.conditions import WORDS
from specs.document import BuildSpec
from specs.errors import Problem, Refused
from specs.facts import OrderFacts


@dataclass(frozen=True)
class Adjustment:
    """While the word ``when`` holds, the named operations' hours are multiplied: low, usual, high."""

    when: str
    operations: tuple[str, ...]
    factor: Touch
    source: str


def read_adjustments(rows: Sequence[Mapping[str, Any]]) -> tuple[Adjustment, ...]:
    """The adjustments of the data file. Raises ``Refused`` naming every bad row."""
    names = {operation.name for operation in OPERATIONS}
    problems = [problem for position, row in enumerate(rows) for problem in _problems(position, row, names)]
    if problems:
        raise Refused(problems)
    return tuple(
        Adjustment(row["when"], tuple(row["operations"]), Touch(*row["factor"]), row["source"]) for row in rows
    )


def _problems(position: int, row: Mapping[str, Any], names: set[str]) -> Iterable[Problem]:
    where = f"adjustments.{position}"
    if row["when"] not in WORDS:
        yield Problem(f"{where}.when", "unknown", f"{row['when']!r} is no word of the operations table")
    for place, name in enumerate(row["operations"]):
        if name not in names:
            yield Problem(f"{where}.operations.{place}", "unknown", f"{name!r} is no operation")
    factor = row["factor"]
    if len(factor) != 3 or not 0 < factor[0] <= factor[1] <= factor[2] <= LONGEST_TOUCH_H:
        yield Problem(f"{where}.factor", "range", "must be three rising factors above 0: low, usual, high")


@dataclass(frozen=True)
class EstimateTable:
    """Hours a manager accepted from finished work, by operation and condition; they stand before the catalogue's."""

    rows: tuple[tuple[str, str, Touch], ...] = ()

    @cached_property
    def _by_key(self) -> dict[tuple[str, str], Touch]:
        return {(operation, condition): hours for operation, condition, hours in self.rows}

    def get(self, operation: str, condition: str) -> Touch | None:
        """The accepted hours; None where there are none."""
        return self._by_key.get((operation, condition))


CATALOGUE_ONLY = EstimateTable()
JOINED = " + "
ADJUSTMENTS = read_adjustments(json.loads((DATA / "adjustments.json").read_text(encoding="utf-8")))


def is_conditional(operation: str) -> bool:
    """Whether a choice of the order changes the operation's hours."""
    return any(operation in change.operations for change in ADJUSTMENTS)


def condition_of(operation: str, spec: BuildSpec, facts: OrderFacts) -> str:
    """The choices of this order that change the operation's hours, as words; empty for none.

    The line needs no word: every operation belongs to one.
    """
    holding = (change for change in ADJUSTMENTS if operation in change.operations)
    return JOINED.join(change.when for change in holding if WORDS[change.when](spec, facts))


def touch_under(operation: Operation, condition: str, estimates: EstimateTable = CATALOGUE_ONLY) -> Touch:
    """Low, usual and high touch hours of an operation under a condition of ``condition_of``.

    Hours accepted under just this condition stand as they are; those accepted without one are adjusted like the
    catalogue's.
    """
    accepted = estimates.get(operation.name, condition)
    if accepted is not None:
        return accepted
    hours = estimates.get(operation.name, "") or operation.touch_h
    words = condition.split(JOINED)
    for change in ADJUSTMENTS:
        if change.when in words and operation.name in change.operations:
            hours = Touch(*(round(hour * factor, 6) for hour, factor in zip(hours, change.factor, strict=True)))
    return hours


def adjusted_touch_h(
    operation: Operation, spec: BuildSpec, facts: OrderFacts, estimates: EstimateTable = CATALOGUE_ONLY
) -> Touch:
    """Low, usual and high touch hours of the operation on this instrument."""
    return touch_under(operation, condition_of(operation.name, spec, facts), estimates)
