"""Every single figure that is asked for by name, with arguments as JSON."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from routing.network import critical_path_figure
from specs.acoustics.string_sets import choose_strings_figure
from specs.errors import Refused
from specs.figures import board_feet_figure
from specs.wood.balance import balance_figure
from specs.wood.moisture import emc_figure

FIGURES: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "balance": balance_figure,
    "board-feet": board_feet_figure,
    "choose-strings": choose_strings_figure,
    "critical-path": critical_path_figure,
    "emc": emc_figure,
}


def figure(name: str) -> Callable[[dict[str, Any]], dict[str, Any]]:
    """What computes the figure of that name from its arguments, raising Refused for every bad one.

    Raises Refused for a name there is none of.
    """
    if name not in FIGURES:
        raise Refused.one("document", "unknown-figure", f"no figure {name!r}; there are {', '.join(FIGURES)}")
    return FIGURES[name]
