"""The share of promises kept over two invented years, steady, and with one station 25 % slower in the second."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from itertools import product

from ready import project

project()

import numpy as np  # noqa: E402

from tests.routing.plan.two_years import YEARS_DAYS, Shop  # noqa: E402

SEEDS = range(1, 7)
SLOW_FROM = YEARS_DAYS // 2


def lived(case: tuple[int, int | None]) -> tuple[int, int | None, int, float, float]:
    """Seed, day of the slowdown, promises counted, share kept of all, share kept of those given in the second year."""
    seed, slow_from = case
    promises = Shop(seed, slow_from).live()
    second = [kept for day, kept in promises if day >= SLOW_FROM]
    return seed, slow_from, len(promises), float(np.mean([kept for _day, kept in promises])), float(np.mean(second))


def main() -> None:
    print("bar: 80 % kept, give or take 5, over two years")
    with ProcessPoolExecutor(2) as pool:
        for seed, slow, count, kept, second in pool.map(lived, product(SEEDS, (None, SLOW_FROM))):
            how = "steady" if slow is None else "slower"
            print(f"seed {seed} {how}: {count} promises, {kept:.1%} kept, of the second year {second:.1%}", flush=True)


if __name__ == "__main__":
    main()
