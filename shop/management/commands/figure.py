"""Compute one figure from its arguments."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from routing.figures import FIGURES, figure
from shop.management.printing import JsonCommand, read_document


class Command(JsonCommand):
    help = f"Print one figure as JSON from arguments on standard input: {', '.join(FIGURES)}."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name", help=", ".join(FIGURES))

    def answer(self, options: dict[str, Any]) -> dict[str, Any]:
        return figure(options["name"])(read_document("-"))
