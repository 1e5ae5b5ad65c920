"""What the commands that read JSON and print JSON share: reading, printing, refusing with exit code 2."""

from __future__ import annotations

import gzip
import json
import sys
import zlib
from argparse import ArgumentParser
from pathlib import Path
from typing import Any, ClassVar

from django.core.management.base import BaseCommand

from specs.errors import Refused
from specs.parsing import read_json

REFUSED = 2
GZIP = b"\x1f\x8b"


def read_document(source: str) -> dict[str, Any]:
    """The JSON object of a file, or of standard input for ``-``, packed by gzip or not; Refused at ``document``."""
    try:
        raw = sys.stdin.buffer.read() if source == "-" else Path(source).read_bytes()
        return read_json(gzip.decompress(raw) if raw.startswith(GZIP) else raw)
    except (EOFError, zlib.error, gzip.BadGzipFile) as error:
        raise Refused.one("document", "unreadable", f"{source} is broken: unpacking it fails") from error
    except OSError as error:
        raise Refused.one("document", "unreadable", f"{source} cannot be read: {error.strerror}") from error


class RefusingCommand(BaseCommand):
    """A command that needs no database; a refusal prints every problem and exits with 2."""

    requires_system_checks: ClassVar[list[str]] = []

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            self.act(options)
        except Refused as refused:
            for problem in refused.problems:
                self.stderr.write(_one_line(str(problem)))
            sys.exit(REFUSED)

    def act(self, options: dict[str, Any]) -> None:
        """Do it; raises Refused."""
        raise NotImplementedError


class JsonCommand(RefusingCommand):
    """A command whose ``answer`` is printed as one JSON value."""

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("spec", metavar="SPEC.json", help="the spec document; - reads standard input")

    def act(self, options: dict[str, Any]) -> None:
        self.stdout.write(json.dumps(self.answer(options), ensure_ascii=False, allow_nan=False))

    def answer(self, options: dict[str, Any]) -> Any:
        """What to print; raises Refused."""
        raise NotImplementedError


def _one_line(text: str) -> str:
    return " ".join(text.split())
