"""A real worker process over both queues: a job gets done, a killed worker or a queue that is down loses nothing."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
REDIS = os.environ.get("REDIS_TEST_URL", "redis://127.0.0.1:6379/5").rsplit("/", 1)[0]
"""A Redis server; every test has a database of its own on it, so that no worker hears another's queue."""

pytestmark = pytest.mark.xdist_group("workers")
WORKER = ["-m", "celery", "-A", "shop", "worker", "--pool", "solo", "-I", "slow_jobs", "--loglevel", "warning",
          "--without-mingle", "--without-gossip"]  # fmt: skip
ASK = """
import slow_jobs, sys
from routing import jobs
jobs.ask(sys.argv[1], person=None, **json.loads(sys.argv[2]))
"""
STATE = "from routing.models import Job; print(json.dumps(Job.objects.values('state', 'result', 'tries').get()))"
SWEEP = """
from datetime import timedelta
import slow_jobs
from django.utils import timezone
from routing import jobs
jobs.sweep(timezone.now() + timedelta(minutes=3))
"""


class Workshop:
    """A workshop in a folder of its own, spoken to through processes only."""

    def __init__(self, folder: Path, redis: str) -> None:
        paths = os.pathsep.join([str(ROOT), str(Path(__file__).parent)])
        self.environment = {
            **os.environ, "HEELBLOCK_DATA": str(folder), "REDIS_URL": redis, "DATABASE_URL": "",
            "PYTHONPATH": paths, "DJANGO_SETTINGS_MODULE": "shop.settings",
        }  # fmt: skip
        self.workers: list[subprocess.Popen[bytes]] = []

    def python(self, code: str, *arguments: str) -> str:
        whole = f"import json, django\ndjango.setup()\n{code}"
        command = [sys.executable, "-c", whole, *arguments]
        return subprocess.run(
            command, cwd=ROOT, env=self.environment, check=True, capture_output=True, text=True
        ).stdout

    def state(self) -> dict[str, object]:
        return json.loads(self.python(STATE))

    def until(self, state: str) -> dict[str, object]:
        deadline = time.monotonic() + 30
        while (row := self.state())["state"] != state:
            assert time.monotonic() < deadline, f"still {row}"
            time.sleep(0.1)
        return row

    def start_worker(self) -> subprocess.Popen[bytes]:
        self.workers.append(subprocess.Popen([sys.executable, *WORKER], cwd=ROOT, env=self.environment))
        return self.workers[-1]

    def close(self) -> None:
        for worker in self.workers:
            worker.kill()
            worker.wait()


@pytest.fixture(scope="module")
def migrated(tmp_path_factory):
    folder = tmp_path_factory.mktemp("migrated")
    environment = {**os.environ, "HEELBLOCK_DATA": str(folder), "DATABASE_URL": ""}
    subprocess.run([sys.executable, "manage.py", "migrate", "-v0"], cwd=ROOT, env=environment, check=True)
    return folder


@pytest.fixture
def workshop_at(migrated, tmp_path):
    opened = []

    def open_at(redis):
        shutil.copytree(migrated, tmp_path / "data")
        opened.append(Workshop(tmp_path / "data", redis))
        return opened[-1]

    yield open_at
    for workshop in opened:
        workshop.close()


@pytest.mark.parametrize("redis", ["", f"{REDIS}/6"], ids=["folder queue", "redis"])
def test_a_worker_does_the_job(workshop_at, redis):
    workshop = workshop_at(redis)
    workshop.start_worker()
    workshop.python(ASK, "add hours", '{"hours": [1.5, 0.75]}')
    assert workshop.until("done") == {"state": "done", "result": 2.25, "tries": 1}


@pytest.mark.parametrize("redis", ["", f"{REDIS}/7"], ids=["folder queue", "redis"])
def test_a_killed_worker_loses_nothing(workshop_at, tmp_path, redis):
    workshop, file = workshop_at(redis), tmp_path / "reading"
    workshop.python(ASK, "wait for file", json.dumps({"path": str(file)}))
    killed = workshop.start_worker()
    workshop.until("running")
    killed.send_signal(signal.SIGKILL)
    killed.wait()
    file.write_text("0.03")
    workshop.python(SWEEP)
    workshop.start_worker()
    assert workshop.until("done") == {"state": "done", "result": "0.03", "tries": 2}


def test_a_queue_that_is_down_loses_nothing(workshop_at):
    workshop = workshop_at("redis://127.0.0.1:1/0")
    workshop.python(ASK, "add hours", '{"hours": [1.5, 0.75]}')
    assert workshop.state() == {"state": "queued", "result": None, "tries": 0}
    workshop.environment["REDIS_URL"] = ""
    workshop.python(SWEEP)
    workshop.start_worker()
    assert workshop.until("done")["result"] == 2.25
