"""The commands that read and print JSON: exact keys, refusals with exit code 2, and no database at all."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from specs.starters import starter

ROOT = Path(__file__).resolve().parents[2]


def run(*arguments: str, given: object = "", raw: bytes | None = None) -> subprocess.CompletedProcess[bytes]:
    """A command with a database address nothing answers at."""
    environment = os.environ | {"DATABASE_URL": "postgres://nobody@127.0.0.1:1/none"}
    return subprocess.run(
        [sys.executable, "manage.py", *arguments],
        input=raw if raw is not None else json.dumps(given).encode(),
        cwd=ROOT, env=environment, capture_output=True, check=False, timeout=60,
    )  # fmt: skip


def refused(done: subprocess.CompletedProcess[bytes]) -> list[str]:
    """The fields refused; nothing on standard output, no traceback."""
    assert (done.returncode, done.stdout) == (2, b"")
    return [line.split(":")[0] for line in done.stderr.decode().splitlines()]


def test_derive_prints_the_fixed_keys():
    done = run("derive", "-", given=starter(5))
    answer = json.loads(done.stdout)
    assert (done.returncode, done.stderr) == (0, b"")
    assert sorted(answer) == ["board", "findings", "frets", "pickups", "strings", "tension"]
    assert sorted(answer["strings"][0]) == [
        "bridge", "frequency_hz", "gauge_mm", "inharmonicity", "number", "nut", "pitch", "residual_cents",
        "saddle_window_mm", "scale_mm", "setback_mm", "tension_n", "unit_mass_kg_m",
    ]  # fmt: skip
    assert sorted(answer["frets"][0]) == [
        "angle_deg", "bass_edge", "blank_x", "centre_mm", "error_cents", "fret", "from_nut_mm", "slot_mm",
        "treble_edge", "wire_mm",
    ]  # fmt: skip
    assert sorted(answer["pickups"][0]) == [
        "angle_deg", "centre_mm", "error_fraction", "error_mm", "fractions", "name", "needed_span_mm",
    ]  # fmt: skip
    assert sorted(answer["board"]) == ["length_mm", "width_end_mm", "width_nut_mm", "wire_total_mm", "worst_error"]


def test_derive_refuses_every_problem_one_a_line():
    broken = starter(4) | {"hand": "both", "colour": "red"}
    broken["scale"] = broken["scale"] | {"bass": "34"}
    assert refused(run("derive", "-", given=broken)) == ["hand", "scale.bass", "colour"]


@pytest.mark.parametrize("raw", [b"", b"[]", b"{", b"\xff\xfe", b'{"format": 1, "format": 1}', b"[" * 100_000])
def test_what_is_no_document_is_refused(raw):
    assert refused(run("derive", "-", raw=raw))


def test_a_file_that_is_not_there_is_refused():
    assert refused(run("derive", "nowhere.json")) == ["document"]


def test_route_takes_facts_from_a_file(tmp_path):
    spec, facts = tmp_path / "spec.json", tmp_path / "facts.json"
    spec.write_text(json.dumps(starter(5)))
    facts.write_text(json.dumps({"line": "series"}))
    tasks = json.loads(run("route", str(spec), "--facts", str(facts)).stdout)
    assert tasks[0] == {
        "operation": "Series batch order with approved sample and limits", "station": "Purchasing", "after": [],
        "touch_h": [2, 4, 8], "wait_h": 2160,
    }  # fmt: skip
    facts.write_text(json.dumps({"line": "both", "export": 1, "rush": True}))
    assert refused(run("route", str(spec), "--facts", str(facts))) == ["rush", "line", "export"]


def test_figures():
    # NHLA plain volume: 2 in x 6 1/4 in x 8 ft is 8 1/3 board feet before the rule's rounding
    board = {"thickness_in": 2, "width_in": 6.25, "length_in": 96}
    assert json.loads(run("figure", "board-feet", given=board).stdout) == {
        "board_feet": pytest.approx(25 / 3, rel=1e-15)
    }
    path = {
        "activities": [
            {"id": "a", "duration": 2, "predecessors": []},
            {"id": "b", "duration": 3, "predecessors": ["a"]},
        ]
    }
    assert json.loads(run("figure", "critical-path", given=path).stdout) == {
        "length": 5,
        "activities": {"a": {"es": 0, "ef": 2, "ls": 0, "lf": 2}, "b": {"es": 2, "ef": 5, "ls": 2, "lf": 5}},
    }


@pytest.mark.parametrize(
    ("name", "given", "fields"),
    [
        (
            "board-feet",
            {"thickness_in": 0, "width_in": "6", "long": 1},
            ["long", "thickness_in", "width_in", "length_in"],
        ),
        ("critical-path", {}, ["activities"]),
        ("critical-path", {"activities": [{"id": "a", "duration": 1, "predecessors": ["a"]}]}, ["activities"]),
        ("tide-table", {}, ["document"]),
    ],
)
def test_figures_refuse_bad_arguments(name, given, fields):
    assert [field.split(".")[0] for field in refused(run("figure", name, given=given))] == fields
