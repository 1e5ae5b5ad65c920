"""What the finished instrument will weigh, forecast from its woods and parts before any tool touches them."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from specs.document import BuildSpec

DATA = Path(__file__).parent.parent / "data" / "body_woods.csv"
SOURCE = "common practice; body from species averages, which are off by 15 %"

BODY_L, BODY_THICKNESS_MM = 4.4, 42.0
CHAMBERS_L = 0.9
BOARD_SPREAD = 0.15
NECK_KG = (0.9, 1.1, 1.3)
METAL_OF_FIVE_STRINGS_KG = (0.9, 1.15, 1.4)
FINISH_KG = (0.04, 0.08, 0.15)
SECOND_BATTERY_KG = 0.09


@dataclass(frozen=True)
class Forecast:
    """Kilograms of the finished instrument, without its case, and the bare body's share of the usual figure."""

    low_kg: float
    usual_kg: float
    high_kg: float
    body_kg: float
    source: str = SOURCE


@lru_cache
def solid_bodies_kg() -> dict[str, float]:
    """Mass in kg of a solid 4.4 litre body of each wood. **Source**: each row of ``data/body_woods.csv``."""
    with DATA.open(encoding="utf-8", newline="") as rows:
        return {row["wood"]: float(row["body_kg"]) for row in csv.DictReader(rows)}


def body_kg(spec: BuildSpec) -> float:
    """Mass in kg of the bare body: the wood's solid body at the ordered thickness, less its chambers.

    A top counts as the core's wood. **Source**: common practice, chambering removes about 0.9 litre.
    """
    body = spec.body
    full_l = BODY_L * body.thickness_mm / BODY_THICKNESS_MM
    kept_l = full_l - (0.0 if body.chambering == "solid" else CHAMBERS_L)
    return solid_bodies_kg()[body.wood] / BODY_L * kept_l


def forecast(spec: BuildSpec) -> Forecast:
    """Low, usual and high mass of the finished instrument in kg.

    Neck 0.9-1.3 kg; metal, pickups and electronics of a five-string 0.9-1.4 kg, in proportion to the strings;
    finish 0.04-0.15 kg; a second battery with its leads 0.09 kg. **Source**: common practice.
    """
    body = body_kg(spec)
    battery = SECOND_BATTERY_KG if spec.electronics.supply == "18 V" else 0.0
    bodies = (body * (1 - BOARD_SPREAD), body, body * (1 + BOARD_SPREAD))
    parts = zip(bodies, NECK_KG, METAL_OF_FIVE_STRINGS_KG, FINISH_KG, strict=True)
    low, usual, high = (
        wood + neck + metal * spec.strings.count / 5 + film + battery for wood, neck, metal, film in parts
    )
    return Forecast(low, usual, high, body)
