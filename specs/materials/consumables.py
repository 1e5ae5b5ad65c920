"""What a unit of work uses up: allowances, spread rates and yields, each row of the data file with its source."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path

DATA = Path(__file__).parent.parent / "data" / "consumables.csv"


@cache
def rows() -> Mapping[str, Mapping[str, str]]:
    """Every row of ``data/consumables.csv`` by its name: value, low, high, unit, source."""
    with DATA.open(encoding="utf-8", newline="") as lines:
        return {row["name"]: row for row in csv.DictReader(lines)}


def usual(name: str) -> float:
    """The usual figure of one row, in the row's unit. Raises KeyError for an unknown name."""
    return float(rows()[name]["value"])
