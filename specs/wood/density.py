"""How dense every wood of the closed lists is: by the Wood Handbook where it has a row, else by the best word there is.

Species averages are off by 15 %: a plank's own weight over its own size is better.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from specs.tables import load_tables

DATA = Path(__file__).parent.parent / "data" / "densities.csv"

SPECIES_SPREAD = 0.15
"""How far a board strays from its species' average, as a share. **Source**: common practice."""


@cache
def densities_kg_m3() -> dict[str, float]:
    """Density at 12 % moisture of every wood word, in kg/m³. **Source**: each row of ``data/woods.csv`` (Wood Handbook,
    1.12 × SG × 1000), and of ``data/densities.csv`` for the rest."""
    with DATA.open(encoding="utf-8", newline="") as rows:
        others = {row["word"]: float(row["density_kg_m3"]) for row in csv.DictReader(rows)}
    return others | {word: wood.density_kg_m3 for word, wood in load_tables().woods.items()}


def density_kg_m3(word: str) -> float:
    """Density of a wood, or the mean of the woods of a laminate such as ``maple and wenge``. Raises KeyError."""
    known, woods = densities_kg_m3(), word.split(" and ")
    return sum(known[wood] for wood in woods) / len(woods)
