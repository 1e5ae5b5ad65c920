"""The operations of the trade and the stations they are done at, read once from the data files and checked."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import MISSING, dataclass, fields
from pathlib import Path
from typing import Any, NamedTuple

from routing.conditions import WORDS
from specs.errors import Problem, Refused

DATA = Path(__file__).parent / "data"

LONGEST_TOUCH_H = 1_000
LONGEST_WAIT_H = 366 * 24

KEY_FIGURES = (
    "hand", "scale_pair", "perpendicular_fret", "fret_count", "nut_width", "nut_angle", "bridge_spread",
    "bridge_angle", "board_length", "board_widths", "radius", "bend_radius", "slot_lengths", "wire_total",
    "tuning", "gauges", "tension_total", "action", "saddle_window", "setback", "pickup_place", "slot_depth",
    "string_path",
)  # fmt: skip

LOCAL_RULES_FIRST = (
    "These lines do not replace the shop's own risk assessment, the makers' safety data sheets or licensed and "
    "medical advice. Where a number differs from the local rule, the local rule wins."
)


class Touch(NamedTuple):
    """Hands-on hours of one task: low, usual, high."""

    low: float
    usual: float
    high: float


@dataclass(frozen=True)
class HoldPoint:
    """Work stops after this operation until a named person signs; what the signature protects."""

    signer: str
    protects: str


@dataclass(frozen=True)
class Station:
    """A place of work; at one that only waits nobody works and a hook is what is taken.

    ``in_one_go``: glue and wet coats are not left over night. **Source**: common practice, no source.
    """

    slug: str
    name: str
    places: int
    waits_only: bool
    caution: str
    source: str
    in_one_go: bool = False


@dataclass(frozen=True)
class Operation:
    """One row of the operations table; hours for one instrument, for a whole batch where ``per_batch``; where
    ``customer_decides`` it is done when the customer has signed, chosen or paid."""

    name: str
    stage: str
    station: str
    skill: str
    when: tuple[str, ...]
    after: tuple[str, ...]
    touch_h: Touch
    wait_h: float
    needs_first: str
    tools: str
    materials: str
    checks: str
    faults: str
    caution: str
    source: str
    per_batch: bool = False
    lived_on_order: bool = False
    customer_decides: bool = False
    for_customer: bool = False
    releases: bool = False
    starts_series_build: bool = False
    hold_point: HoldPoint | None = None
    key_figures: tuple[str, ...] = ()

    @property
    def slug(self) -> str:
        """The name for addresses: lower case, words joined with hyphens."""
        return _slug(self.name)

    @property
    def needs_second_person(self) -> bool:
        """Whether somebody who did not do the work must sign beside the one who did."""
        return self.hold_point is not None and self.hold_point.signer == "second person"


def _slug(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")


def read_stations(rows: Sequence[Mapping[str, Any]]) -> tuple[Station, ...]:
    """The stations in shop-walk order. Raises ``Refused`` naming every bad row."""
    problems = [*_key_problems("stations", rows, Station), *_repeated("stations", rows)]
    if problems:
        raise Refused(problems)
    return tuple(Station(**row) for row in rows)


def read_operations(rows: Sequence[Mapping[str, Any]], stations: Iterable[Station]) -> tuple[Operation, ...]:
    """The operations in table order, which is one possible order of work: a row comes after rows above it only,
    so no cycle can arise. Raises ``Refused`` naming every bad row."""
    problems = list(_key_problems("operations", rows, Operation))
    problems = problems or list(_row_problems(rows, {station.name for station in stations}))
    if problems:
        raise Refused(problems)
    return tuple(map(_operation, rows))


def _operation(row: Mapping[str, Any]) -> Operation:
    hold_point = HoldPoint(**row["hold_point"]) if row.get("hold_point") else None
    lists = {name: tuple(row.get(name, ())) for name in ("when", "after", "key_figures")}
    return Operation(**{**row, **lists, "touch_h": Touch(*row["touch_h"]), "hold_point": hold_point})


def _key_problems(table: str, rows: Sequence[Mapping[str, Any]], of: type) -> Iterator[Problem]:
    known = {field.name for field in fields(of)}
    required = {field.name for field in fields(of) if field.default is MISSING}
    for position, row in enumerate(rows):
        for key in sorted(set(row) - known):
            yield _problem(table, position, row, key, "unknown", "is not a column of the table")
        for key in sorted(required - set(row)):
            yield _problem(table, position, row, key, "required", "is missing")


def _row_problems(rows: Sequence[Mapping[str, Any]], stations: set[str]) -> Iterator[Problem]:
    yield from _repeated("operations", rows)
    yield from _single("operations", rows, "releases")
    yield from _single("operations", rows, "starts_series_build")
    above: set[str] = set()
    names = {row["name"] for row in rows}
    for position, row in enumerate(rows):
        yield from _unknown_words(position, row, stations)
        yield from _order_problems(position, row, above, names)
        yield from _hour_problems(position, row)
        above.add(row["name"])


def _unknown_words(position: int, row: Mapping[str, Any], stations: set[str]) -> Iterator[Problem]:
    if row["station"] not in stations:
        yield _problem("operations", position, row, "station", "unknown", f"{row['station']!r} is no station")
    for column, known in (("when", WORDS), ("key_figures", KEY_FIGURES)):
        for place, word in enumerate(row.get(column, ())):
            if word not in known:
                yield _problem("operations", position, row, f"{column}.{place}", "unknown", f"{word!r} is not known")


def _order_problems(position: int, row: Mapping[str, Any], above: set[str], names: set[str]) -> Iterator[Problem]:
    for place, name in enumerate(row["after"]):
        field = f"after.{place}"
        if name not in names:
            yield _problem("operations", position, row, field, "unknown", f"{name!r} is no operation")
        elif name not in above:
            message = (
                f"{name!r} does not stand above it: a row comes after rows above it only, else work runs in a circle"
            )
            yield _problem("operations", position, row, field, "cycle", message)


def _hour_problems(position: int, row: Mapping[str, Any]) -> Iterator[Problem]:
    hours = row["touch_h"]
    if len(hours) != 3 or not 0 <= hours[0] <= hours[1] <= hours[2] <= LONGEST_TOUCH_H:
        message = f"must be low, usual and high hours, rising, from 0 to {LONGEST_TOUCH_H}"
        yield _problem("operations", position, row, "touch_h", "range", message)
    if not 0 <= row["wait_h"] <= LONGEST_WAIT_H:
        yield _problem("operations", position, row, "wait_h", "range", f"must be hours from 0 to {LONGEST_WAIT_H}")


def _repeated(table: str, rows: Sequence[Mapping[str, Any]]) -> Iterator[Problem]:
    seen: set[str] = set()
    for position, row in enumerate(rows):
        slug = _slug(row.get("name", ""))
        if slug in seen:
            yield _problem(table, position, row, "name", "repeated", "stands twice; names must differ in their letters")
        seen.add(slug)


def _single(table: str, rows: Sequence[Mapping[str, Any]], flag: str) -> Iterator[Problem]:
    marked = [row["name"] for row in rows if row.get(flag)]
    if len(marked) != 1:
        yield Problem(table, "single", f"exactly one row must carry {flag!r}; now {marked or 'none'}")


def _problem(table: str, position: int, row: Mapping[str, Any], key: str, code: str, message: str) -> Problem:
    return Problem(f"{table}.{position}.{key}", code, f"{row.get('name', 'a row without name')}: {message}")


def _rows(file: str) -> list[dict[str, Any]]:
    return json.loads((DATA / file).read_text(encoding="utf-8"))


STATIONS: tuple[Station, ...] = read_stations(_rows("stations.json"))
OPERATIONS: tuple[Operation, ...] = read_operations(_rows("operations.json"), STATIONS)

_BY_NAME = {operation.name: operation for operation in OPERATIONS}
_STATION_BY_NAME = {station.name: station for station in STATIONS}


def operation(name: str) -> Operation:
    """The operation of that name. Raises ``KeyError``."""
    return _BY_NAME[name]


def station(name: str) -> Station:
    """The station of that name. Raises ``KeyError``."""
    return _STATION_BY_NAME[name]
