"""The tunings that are asked for often, by number of strings."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache

from specs.tables import DATA


@dataclass(frozen=True)
class Tuning:
    """A tuning by its name, bass to treble, and who says so."""

    name: str
    pitches: tuple[str, ...]
    source: str


def usual_tunings(strings: int) -> tuple[Tuning, ...]:
    """The usual tunings of that many strings; empty for a number nobody wrote any down for."""
    return tuple(tuning for tuning in _tunings() if len(tuning.pitches) == strings)


@cache
def _tunings() -> tuple[Tuning, ...]:
    with (DATA / "tunings.csv").open(encoding="utf-8", newline="") as lines:
        return tuple(Tuning(row["name"], tuple(row["tuning"].split()), row["source"]) for row in csv.DictReader(lines))
