"""Jobs of the tests, for a worker process of its own: one that ends at once, one that waits for a file."""

from __future__ import annotations

import time
from pathlib import Path

from routing.jobs import REGISTRY, Progress, job

if "add hours" not in REGISTRY:

    @job("add hours")
    def add_hours(progress: Progress, *, hours: list[float]) -> float:
        progress.set(50, "half way")
        return sum(hours)

    @job("wait for file")
    def wait_for_file(progress: Progress, *, path: str) -> str:
        while not Path(path).exists():
            progress.set(10, "waiting")
            time.sleep(0.05)
        return Path(path).read_text()
