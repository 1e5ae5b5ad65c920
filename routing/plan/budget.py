"""How long a search may go on: by the clock or by counting, told to whoever waits, stopped when asked."""

from __future__ import annotations

import time
from collections.abc import Callable

Progress = Callable[[float, float], None]
Stop = Callable[[], bool]

ROUND_SECONDS = 0.08
COUNTED_TRIES = 8


class Budget:
    """Seconds of wall clock, or a number of tries; without either it is over at once."""

    def __init__(
        self, seconds: float | None, tries: int | None, progress: Progress | None, should_stop: Stop | None
    ) -> None:
        self.seconds, self.tries = seconds, tries
        self.progress, self.should_stop = progress, should_stop
        self.begun, self.tried, self.stopped, self.round = time.monotonic(), 0, False, COUNTED_TRIES if tries else 1

    def share(self) -> float:
        """The share used up, from 0 to 1."""
        shares = [0.0 if self.seconds or self.tries else 1.0]
        if self.seconds:
            shares.append((time.monotonic() - self.begun) / self.seconds)
        if self.tries:
            shares.append(self.tried / self.tries)
        return min(max(shares), 1.0)

    def is_over(self, until: float = 1.0) -> bool:
        """Whether that share is used up, or somebody wants an end."""
        self.stopped = self.stopped or bool(self.should_stop and self.should_stop())
        return self.stopped or self.share() >= until

    def measure(self, work: Callable[[int], object]) -> None:
        """One round of tries; by the clock, as many as fit well within what ``should_stop`` is asked."""
        begun = time.monotonic()
        work(self.round)
        self.tried += self.round
        if self.seconds and not self.tries:
            factor = ROUND_SECONDS / max(time.monotonic() - begun, 1e-4)
            self.round = max(1, int(self.round * min(max(factor, 0.25), 4.0)))

    def tell(self, cost: float) -> None:
        """Report how far it is and what the cheapest plan costs."""
        if self.progress:
            self.progress(self.share(), cost)
