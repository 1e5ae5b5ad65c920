"""Planning a backlog from a file: start ticks that can be carried out, refusals with nothing written, no database."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from routing.plan.checker import violations
from routing.plan.cost import weighted_tardiness
from routing.plan.problem import Plan
from tests.routing.plan.invented import REFERENCE, backlog

ROOT = Path(__file__).resolve().parents[2]
SMALL = "small-6-1.json.gz"


def run(out: Path, *arguments: str, given: str = "") -> subprocess.CompletedProcess[str]:
    """The command with a database address nothing answers at."""
    environment = os.environ | {"DATABASE_URL": "postgres://nobody@127.0.0.1:1/none"}
    return subprocess.run(
        [sys.executable, "manage.py", "plan-file", *arguments, "--out", str(out)],
        input=given, cwd=ROOT, env=environment, capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip


@pytest.mark.parametrize("cost", ["plain", "convex"])
def test_it_writes_start_ticks_that_can_be_carried_out(tmp_path, cost):
    done = run(tmp_path / "plan.json", str(REFERENCE / SMALL), "--seconds", "0", "--cost", cost)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    written = json.loads((tmp_path / "plan.json").read_text())
    problem, given = backlog(SMALL)
    start = np.array(written["start"])
    plan = Plan(start, start + problem.work.ticks, np.full(len(start), -1))
    assert sorted(written) == ["start", "weighted_tardiness"]
    assert violations(problem, plan) == []
    assert written["weighted_tardiness"] == weighted_tardiness(problem, plan)
    assert given["proven_optimum"] - 0.05 <= written["weighted_tardiness"] <= 1.05 * given["rule_slack"]


@pytest.mark.parametrize(
    ("arguments", "given", "told"),
    [
        (["-", "--seconds", "0"], "{}", ["ticks_per_day", "working_days", "stations", "orders", "tasks"]),
        (["-", "--seconds", "0"], "[1, 2", ["document"]),
        (["nowhere.json.gz", "--seconds", "0"], "", ["document"]),
        ([str(REFERENCE / SMALL), "--seconds", "nan"], "", ["seconds"]),
        ([str(REFERENCE / SMALL), "--seconds", "-1"], "", ["seconds"]),
    ],
)
def test_a_refusal_names_every_mistake_and_writes_nothing(tmp_path, arguments, given, told):
    done = run(tmp_path / "plan.json", *arguments, given=given)
    assert (done.returncode, done.stdout) == (2, "")
    assert [line.split(":")[0] for line in done.stderr.splitlines()] == told
    assert list(tmp_path.iterdir()) == []


def test_a_file_broken_in_transit_is_refused(tmp_path):
    (tmp_path / "half.json.gz").write_bytes((REFERENCE / SMALL).read_bytes()[:900])
    done = run(tmp_path / "plan.json", str(tmp_path / "half.json.gz"), "--seconds", "0")
    assert done.returncode == 2
    assert done.stderr.startswith("document: ")
    assert not (tmp_path / "plan.json").exists()


def test_a_place_that_cannot_be_written_to_is_refused(tmp_path):
    done = run(tmp_path / "no" / "plan.json", str(REFERENCE / SMALL), "--seconds", "0")
    assert (done.returncode, done.stderr.split(":")[0]) == (2, "out")
