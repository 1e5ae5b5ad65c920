"""Compute the instrument of a spec document."""

from __future__ import annotations

from typing import Any

from shop.management.printing import JsonCommand, read_document
from specs.answer import answer
from specs.derive import derive
from specs.facts import OrderFacts
from specs.parsing import parse
from specs.rules import check
from specs.tables import load_tables


class Command(JsonCommand):
    help = "Print the computed instrument of a spec document as JSON."

    def answer(self, options: dict[str, Any]) -> dict[str, Any]:
        derived = derive(parse(read_document(options["spec"])), load_tables())
        return answer(derived, check(derived, OrderFacts()))
