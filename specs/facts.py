"""Facts of an order that are not the instrument's but decide rules and work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from specs.wood.planks import Plank

Line = Literal["custom", "series"]


@dataclass(frozen=True)
class OrderFacts:
    """Line of work, ship-to abroad, a permit needed for listed wood, goods handed to a carrier, white wood signed off.

    ``changed`` holds the dotted paths a revision changes against what was last released, ``planks`` what was weighed
    for its build.
    """

    line: Line = "custom"
    export: bool = False
    permit: bool = False
    carrier: bool = True
    past_white_wood: bool = False
    changed: tuple[str, ...] = ()
    planks: tuple[Plank, ...] = ()
