"""Plan a backlog given as a file."""

from __future__ import annotations

import json
import math
from argparse import ArgumentParser
from pathlib import Path
from typing import Any, get_args

from routing.plan.candidates import cheapest_by_rule
from routing.plan.cost import Cost, weighted_tardiness
from routing.plan.file import read_problem
from shop.management.printing import RefusingCommand, read_document
from specs.errors import Refused


class Command(RefusingCommand):
    help = "Plan the backlog of a file and write the start tick of each task as JSON."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("instance", metavar="INSTANCE.json.gz", help="the backlog; - reads standard input")
        parser.add_argument("--seconds", type=float, required=True, help="time to look for a better plan")
        parser.add_argument("--cost", choices=get_args(Cost), default="plain", help="what being late costs")
        parser.add_argument("--out", required=True, metavar="PLAN.json", help="where the plan is written")

    def act(self, options: dict[str, Any]) -> None:
        _require_time(options["seconds"])
        problem = read_problem(read_document(options["instance"]))
        plan = cheapest_by_rule(problem, options["cost"])
        answer = {"start": plan.start.tolist(), "weighted_tardiness": weighted_tardiness(problem, plan)}
        _write(Path(options["out"]), json.dumps(answer))


def _require_time(seconds: float) -> None:
    if not (math.isfinite(seconds) and seconds >= 0):
        raise Refused.one("seconds", "out-of-range", "give a number from 0 on")


def _write(path: Path, text: str) -> None:
    try:
        path.write_text(text + "\n", encoding="utf-8")
    except OSError as error:
        raise Refused.one("out", "unwritable", f"{path} cannot be written: {error.strerror}") from error
