"""Compute one figure from its arguments."""

from __future__ import annotations

from argparse import ArgumentParser
from collections.abc import Callable
from typing import Any

from routing.network import critical_path_figure
from shop.management.printing import JsonCommand, read_document
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


class Command(JsonCommand):
    help = f"Print one figure as JSON from arguments on standard input: {', '.join(FIGURES)}."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name", help=", ".join(FIGURES))

    def answer(self, options: dict[str, Any]) -> dict[str, Any]:
        name = options["name"]
        if name not in FIGURES:
            raise Refused.one("document", "unknown-figure", f"no figure {name!r}; there are {', '.join(FIGURES)}")
        return FIGURES[name](read_document("-"))
