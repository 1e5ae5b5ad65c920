"""What the values of one spec document must agree on with each other, beyond each being right by itself."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from specs.document import FEWEST_STRINGS, MOST_STRINGS, BuildSpec, Pickup, Row
from specs.strict_json import Path


class _Failed:
    """The mark of a value already refused."""

    def __repr__(self) -> str:
        return "FAILED"


FAILED = _Failed()


@dataclass(frozen=True)
class Found:
    """A problem with its path still in parts."""

    path: Path
    code: str
    message: str


def string_count(document: Mapping[str, Any]) -> int | None:
    """How many strings a document speaks of, read before anything else; None where it contradicts itself."""
    tuning, gauges = _string_lists(document)
    if not _countable(tuning) or (isinstance(gauges, list | tuple) and len(gauges) != len(tuning)):
        return None
    return len(tuning)


def _string_lists(document: Mapping[str, Any]) -> tuple[Any, Any]:
    strings = document.get("strings")
    given = strings if isinstance(strings, Mapping) else {}
    return given.get("tuning"), given.get("gauges")


def _countable(tuning: Any) -> bool:
    return isinstance(tuning, list | tuple) and FEWEST_STRINGS <= len(tuning) <= MOST_STRINGS


def gauges_for_tunings(document: Mapping[str, Any]) -> Iterator[Found]:
    """The refusal of a document with another number of gauges than of tunings."""
    tuning, gauges = _string_lists(document)
    if _countable(tuning) and isinstance(gauges, list | tuple) and len(tuning) != len(gauges) <= MOST_STRINGS:
        message = f"{len(gauges)} gauges for {len(tuning)} tunings: give one gauge for each"
        yield Found(("strings", "gauges"), "count", message)


def disagreements(spec: BuildSpec, count: int | None) -> Iterator[Found]:
    """Every disagreement between values that could be read; ``spec`` holds FAILED where one could not."""
    yield from _fret_on_the_board(spec)
    if count is not None and spec.pickups is not FAILED:
        for position, pickup in enumerate(spec.pickups):
            yield from _strings_of(pickup, count, ("pickups", position, "rows"))


def _fret_on_the_board(spec: BuildSpec) -> Iterator[Found]:
    if spec.scale is FAILED or spec.fingerboard is FAILED:
        return
    perpendicular, frets = spec.scale.perpendicular_fret, spec.fingerboard.frets
    if perpendicular is FAILED or frets is FAILED or perpendicular <= frets:
        return
    message = f"the board has {frets} frets: give a number from 0 to {frets}"
    yield Found(("scale", "perpendicular_fret"), "out-of-range", message)


def _strings_of(pickup: Pickup, count: int, path: Path) -> Iterator[Found]:
    if pickup is FAILED or pickup.rows is FAILED or any(_unread(row) for row in pickup.rows):
        return
    outside = [
        Found((*path, row_at, "strings", at), "no-such-string", f"string {number} of {count}: give 1 to {count}")
        for row_at, row in enumerate(pickup.rows)
        for at, number in enumerate(row.strings)
        if number > count
    ]
    yield from outside or _each_string_once(pickup, count, path)


def _unread(row: Row) -> bool:
    return row is FAILED or row.strings is FAILED


def _each_string_once(pickup: Pickup, count: int, path: Path) -> Iterator[Found]:
    times = Counter(number for row in pickup.rows for number in row.strings)
    missing = [str(number) for number in range(1, count + 1) if not times[number]]
    repeated = [str(number) for number in sorted(times) if times[number] > 1]
    said = [f"in no row: {', '.join(missing)}"] if missing else []
    said += [f"in a row more than once: {', '.join(repeated)}"] if repeated else []
    if said:
        yield Found(path, "coverage", f"strings {'; '.join(said)}; name each of 1 to {count} in exactly one row")
