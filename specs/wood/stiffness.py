"""How stiff neck woods are along the grain, where a value is published; none is for roasted wood."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

DATA = Path(__file__).parent.parent / "data" / "stiffness.csv"


@dataclass(frozen=True)
class Stiffness:
    """Modulus of elasticity along the grain in MPa at 12 % moisture, and whose word it is."""

    moe_mpa: float
    source: str


@cache
def published() -> dict[str, Stiffness]:
    """Every wood word with a published modulus. **Source**: each row of ``data/stiffness.csv``."""
    with DATA.open(encoding="utf-8", newline="") as rows:
        return {row["word"]: Stiffness(float(row["moe_mpa"]), row["source"]) for row in csv.DictReader(rows)}


def stiffness(word: str) -> Stiffness | None:
    """Of a wood, or the mean of the woods of a laminate such as ``maple and wenge``; None where one has no value.

    **Source**: side by side strips bend as one, so their moduli add by width; equal shares are common practice.
    """
    found = [published().get(wood) for wood in word.split(" and ")]
    known = [one for one in found if one is not None]
    if len(known) < len(found):
        return None
    return Stiffness(sum(one.moe_mpa for one in known) / len(known), "; ".join(one.source for one in known))
