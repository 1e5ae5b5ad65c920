"""Facts of an order that are not the instrument's but decide rules and work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Line = Literal["custom", "series"]


@dataclass(frozen=True)
class OrderFacts:
    """Line of work, ship-to abroad, a permit needed for listed wood, goods handed to a carrier."""

    line: Line = "custom"
    export: bool = False
    permit: bool = False
    carrier: bool = True
