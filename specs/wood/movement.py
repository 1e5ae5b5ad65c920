"""How much a board grows or shrinks across its grain when its moisture changes."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

DATA = Path(__file__).parent.parent / "data" / "movement.csv"

CUTS = ("flat", "quarter", "rift")
COEFFICIENT_RANGE_PCT = (6.0, 14.0)
FIBRE_SATURATION_PCT = 30.0


@dataclass(frozen=True)
class Across:
    """One property of a wood along its rings' radius and along the rings; None where it was not published."""

    radial: float | None
    tangential: float | None

    def of(self, cut: str) -> float | None:
        """The property across the width of a board so cut: flat along the rings, quarter radial, rift the mean."""
        if cut == "flat":
            return self.tangential
        if cut == "quarter":
            return self.radial
        both_known = self.radial is not None and self.tangential is not None
        return (self.radial + self.tangential) / 2 if both_known else None


@dataclass(frozen=True)
class Shrinkage:
    """A wood's coefficients of change per percent of moisture, and its shrinkage green to oven-dry in percent."""

    word: str
    coefficients: Across
    shrink_pct: Across
    source: str
    confidence: str


@lru_cache
def shrinkages() -> dict[str, Shrinkage]:
    """Every wood of the vocabulary that has published movement. **Source**: each row of ``data/movement.csv``."""
    with DATA.open(encoding="utf-8", newline="") as rows:
        return {row["word"]: _shrinkage(row) for row in csv.DictReader(rows)}


def _shrinkage(row: dict[str, str]) -> Shrinkage:
    coefficients = Across(_number(row["c_radial"]), _number(row["c_tangential"]))
    shrink_pct = Across(_number(row["radial_shrink_pct"]), _number(row["tangential_shrink_pct"]))
    return Shrinkage(row["word"], coefficients, shrink_pct, row["source"], row["confidence"])


def _number(text: str) -> float | None:
    return float(text) if text else None


def by_coefficient_mm(width_mm: float, coefficient: float, from_pct: float, to_pct: float) -> float:
    """Growth in mm of a width between two moistures of 6 to 14 %; negative where it shrinks.

    **Source**: USDA FPL, Wood Handbook FPL-GTR-190, Eq 13-2: D·C·(to − from).
    """
    return width_mm * coefficient * (to_pct - from_pct)


def by_shrinkage_mm(width_mm: float, shrink_pct: float, from_pct: float, to_pct: float) -> float:
    """Growth in mm of a width between two moistures up to 30 %; negative where it shrinks.

    **Source**: USDA FPL, Wood Handbook FPL-GTR-190, Eq 13-3 (form from memory): D·(to − from)/(3000/S − 30 + from).
    """
    return width_mm * (to_pct - from_pct) / (3000 / shrink_pct - FIBRE_SATURATION_PCT + from_pct)


def growth_mm(word: str, cut: str, width_mm: float, from_pct: float, to_pct: float) -> float:
    """Growth in mm across a board of that wood and cut: by its coefficient between 6 and 14 %, else by its shrinkage.

    Above 30 % wood no longer moves: raises ValueError there, and LookupError for a wood without a published row.
    """
    if not (0 <= from_pct <= FIBRE_SATURATION_PCT and 0 <= to_pct <= FIBRE_SATURATION_PCT):
        raise ValueError("moisture must be from 0 to 30 %: wetter wood does not move")
    wood = shrinkages()[word]
    low, high = COEFFICIENT_RANGE_PCT
    coefficient = wood.coefficients.of(cut)
    if coefficient is not None and low <= min(from_pct, to_pct) and max(from_pct, to_pct) <= high:
        return by_coefficient_mm(width_mm, coefficient, from_pct, to_pct)
    shrink_pct = wood.shrink_pct.of(cut)
    if shrink_pct is None:
        raise LookupError(f"no published movement of {word}, {cut} cut")
    return by_shrinkage_mm(width_mm, shrink_pct, from_pct, to_pct)
