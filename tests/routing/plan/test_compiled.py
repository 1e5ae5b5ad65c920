"""The inner loops give the same plan, bit for bit, compiled or not, and want no folder they may not have."""

from __future__ import annotations

import hashlib
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from routing.plan.rules import RULES
from routing.plan.serial import decode, dispatch
from tests.routing.plan.invented import backlog, random_problem

ROOT = Path(__file__).resolve().parents[3]
PRINTED = """
from routing.plan import compiled
from tests.routing.plan.test_compiled import fingerprints
print(compiled.is_compiled())
print("\\n".join(fingerprints()))
"""
WITHOUT = "import sys; sys.modules['numba'] = None\n"


def fingerprints() -> list[str]:
    """Of the plans of every rule, and of one decoded again."""
    found = []
    for problem in (random_problem(3), random_problem(8), backlog("small-7-2.json.gz")[0]):
        plans = [dispatch(problem, rule(problem)) for rule in RULES.values()]
        plans.append(decode(problem, plans[-1]))
        for plan in plans:
            found.append(hashlib.sha256(plan.start.tobytes() + plan.end.tobytes() + plan.person.tobytes()).hexdigest())
    return found


def printed(code: str, **environment: str) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], cwd=ROOT, env=os.environ | environment,
        capture_output=True, text=True, check=True, timeout=300,
    )  # fmt: skip
    return done.stdout.split()


@pytest.mark.parametrize(("before", "environment"), [("", {"NUMBA_DISABLE_JIT": "1"}), (WITHOUT, {})])
def test_uncompiled_loops_make_the_same_plans(before, environment):
    assert printed(before + PRINTED, **environment) == ["False", *fingerprints()]


def test_machine_code_is_kept_where_it_may_be_and_by_nobody_else(tmp_path):
    code = "from routing.plan.compiled import numba; print(numba.config.CACHE_DIR)"
    (kept,) = printed(code, NUMBA_CACHE_DIR=str(tmp_path))
    assert Path(kept).parent == tmp_path
    assert stat.S_IMODE(Path(kept).stat().st_mode) == 0o700
    (tmp_path / "file").touch()
    (elsewhere,) = printed(code, NUMBA_CACHE_DIR=str(tmp_path / "file"), HOME=str(tmp_path))
    assert Path(elsewhere).parent == tmp_path / ".cache" / "heelblock"


def test_without_any_folder_it_still_compiles(tmp_path):
    (tmp_path / "file").touch()
    nowhere = str(tmp_path / "file")
    code = (
        f"import tempfile; tempfile.tempdir = '{nowhere}'\nfrom routing.plan.kernels import hopped\n"
        "import numpy as np\nprint(hopped(np.array([[1, 1]], dtype=np.int32), 0, 0))"
    )
    assert printed(code, NUMBA_CACHE_DIR=nowhere, HOME=nowhere) == ["1"]
