"""Expand the operations of a spec document into the tasks of one build."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from routing.expand import as_json, expand
from routing.facts import read_facts
from shop.management.printing import JsonCommand, read_document
from specs.parsing import parse


class Command(JsonCommand):
    help = "Print the tasks of a spec document as JSON."

    def add_arguments(self, parser: ArgumentParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("--facts", metavar="FACTS.json", help="facts of the order that are not the instrument's")

    def answer(self, options: dict[str, Any]) -> list[dict[str, Any]]:
        facts = read_facts(read_document(options["facts"]) if options["facts"] else {})
        return as_json(expand(parse(read_document(options["spec"])), facts))
