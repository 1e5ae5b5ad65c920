"""The published tables the computing core reads: what a string weighs, how dense a wood is, and which file said so."""

from __future__ import annotations

import csv
import hashlib
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from specs.units import decimal_inches

DATA = Path(__file__).parent / "data"
MM_PER_INCH = 25.4
POUND_KG, INCH_M = 0.45359237, 0.0254
"""The avoirdupois pound and the inch, both exact. **Source**: the yard and pound agreement of 1959, from memory."""

GAUGE_TOLERANCE_IN = 1e-9
VERSION_CHARACTERS = 12


class UnknownString(LookupError):
    """A gauge and winding the catalogue cannot weigh; the message says what to do."""


@dataclass(frozen=True)
class StringRow:
    """One printed row: what an inch of this gauge and winding weighs, and who says so."""

    gauge_in: float
    winding: str
    unit_weight_lb_in: float
    source: str
    confidence: str


@dataclass(frozen=True)
class UnitWeight:
    """Weight of a string in pounds per inch; ``estimated`` where no row has the very gauge."""

    lb_in: float
    estimated: bool = False

    @property
    def kg_m(self) -> float:
        """Mass per length in kg/m."""
        return self.lb_in * POUND_KG / INCH_M


@dataclass(frozen=True)
class StringCatalogue:
    """Unit weights by gauge, thin to thick, for every winding that has rows."""

    rows: tuple[StringRow, ...]

    def of(self, winding: str) -> tuple[StringRow, ...]:
        """The rows of one winding, thin to thick; empty where none was published."""
        return tuple(row for row in self.rows if row.winding == winding)

    def unit_weight(self, gauge_mm: float, winding: str) -> UnitWeight:
        """The row of that gauge, or an estimate between its two neighbours.

        Interpolates log weight over log gauge. Raises UnknownString for a winding without rows and outside its rows.
        """
        rows = self.of(winding)
        if not rows:
            raise UnknownString(f"no published unit weights for {winding} strings: give strings.unit_weights (lb/in)")
        gauge_in = gauge_mm / MM_PER_INCH
        for row in rows:
            if abs(row.gauge_in - gauge_in) <= GAUGE_TOLERANCE_IN:
                return UnitWeight(row.unit_weight_lb_in)
        return UnitWeight(_between(rows, gauge_in), estimated=True)


def _between(rows: tuple[StringRow, ...], gauge_in: float) -> float:
    thinner = [row for row in rows if row.gauge_in < gauge_in]
    thicker = [row for row in rows if row.gauge_in > gauge_in]
    if not (thinner and thicker):
        raise UnknownString(_outside(rows, gauge_in))
    low, high = thinner[-1], thicker[0]
    share = math.log(gauge_in / low.gauge_in) / math.log(high.gauge_in / low.gauge_in)
    return low.unit_weight_lb_in * (high.unit_weight_lb_in / low.unit_weight_lb_in) ** share


def _outside(rows: tuple[StringRow, ...], gauge_in: float) -> str:
    nearest = sorted(rows, key=lambda row: abs(row.gauge_in - gauge_in))[:2]
    names = " and ".join(_inches(row.gauge_in) for row in nearest)
    return (
        f"{_inches(gauge_in)} is outside the catalogue of {rows[0].winding} strings; the nearest are {names}: "
        "choose one, or give strings.unit_weights (lb/in)"
    )


def _inches(gauge_in: float) -> str:
    return decimal_inches(gauge_in * MM_PER_INCH, 4)


@dataclass(frozen=True)
class Wood:
    """A word of the vocabulary as a species; ``sg_12pct`` is oven-dry weight over volume at 12 % moisture."""

    word: str
    species: str
    scientific_name: str
    sg_12pct: float
    source: str
    confidence: str

    @property
    def density_kg_m3(self) -> float:
        """Mean density at 12 % moisture in kg/m³. **Source**: Wood Handbook, Eq 4-14: 1000 x 1.12 x SG."""
        return 1.12 * self.sg_12pct * 1000


@dataclass(frozen=True)
class Tables:
    """Everything looked up, with the version of each file; woods without a published row are absent."""

    strings: StringCatalogue
    woods: Mapping[str, Wood]
    versions: Mapping[str, str]


@cache
def load_tables() -> Tables:
    """The project's own tables; ``versions`` are the first characters of each file's SHA-256."""
    return Tables(
        strings=StringCatalogue(tuple(sorted(map(_string_row, _rows("strings")), key=lambda row: row.gauge_in))),
        woods={row["word"]: _wood(row) for row in _rows("woods")},
        versions={name: _version(name) for name in ("strings", "woods")},
    )


def _file(name: str) -> Path:
    return DATA / f"{name}.csv"


def _rows(name: str) -> list[dict[str, str]]:
    with _file(name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def _version(name: str) -> str:
    return hashlib.sha256(_file(name).read_bytes()).hexdigest()[:VERSION_CHARACTERS]


def _string_row(row: Mapping[str, str]) -> StringRow:
    gauge_in, unit_weight_lb_in = float(row["gauge_in"]), float(row["unit_weight_lb_in"])
    return StringRow(gauge_in, row["winding"], unit_weight_lb_in, row["source"], row["confidence"])


def _wood(row: Mapping[str, str]) -> Wood:
    return Wood(**{**row, "sg_12pct": float(row["sg_12pct"])})
