"""What the commands that read JSON and print JSON share: reading, printing, refusing with exit code 2."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any, ClassVar

from django.core.management.base import BaseCommand

from specs.errors import Refused
from specs.parsing import read_json

REFUSED = 2


def read_document(source: str) -> dict[str, Any]:
    """The JSON object of a file, or of standard input for ``-``; raises Refused at ``document``."""
    try:
        raw = sys.stdin.buffer.read() if source == "-" else Path(source).read_bytes()
    except OSError as error:
        raise Refused.one("document", "unreadable", f"{source} cannot be read: {error.strerror}") from error
    return read_json(raw)


class JsonCommand(BaseCommand):
    """A command whose ``answer`` is printed as one JSON value; a refusal prints every problem and exits with 2."""

    requires_system_checks: ClassVar[list[str]] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("spec", metavar="SPEC.json", help="the spec document; - reads standard input")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            answer = self.answer(options)
        except Refused as refused:
            for problem in refused.problems:
                self.stderr.write(_one_line(str(problem)))
            sys.exit(REFUSED)
        self.stdout.write(json.dumps(answer, ensure_ascii=False, allow_nan=False))

    def answer(self, options: dict[str, Any]) -> Any:
        """What to print; raises Refused."""
        raise NotImplementedError


def _one_line(text: str) -> str:
    return " ".join(text.split())
