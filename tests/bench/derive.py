"""How long one instrument takes to compute: derive and answer against writing that answer down as JSON."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from itertools import count, islice
from statistics import median
from time import perf_counter
from typing import Any

from ready import project

project()

from specs.answer import answer  # noqa: E402
from specs.derive import derive  # noqa: E402
from specs.document import BuildSpec  # noqa: E402
from specs.facts import OrderFacts  # noqa: E402
from specs.parsing import parse  # noqa: E402
from specs.rules import check  # noqa: E402
from specs.starters import starter  # noqa: E402
from specs.tables import load_tables  # noqa: E402

ROUNDS, WARM = 300, 20
BAR = 15


def median_ms(act: Callable[[], Any]) -> float:
    """The median of many runs, after a few that do not count."""
    took = []
    for at in range(ROUNDS + WARM):
        start = perf_counter()
        act()
        took.append((perf_counter() - start) * 1000 if at >= WARM else 0.0)
    return median(took[WARM:])


def different_specs() -> Iterator[BuildSpec]:
    """Another bass scale each time, so that nothing kept from the instrument before answers for this one."""
    for at in count():
        document = starter(5)
        document["scale"]["bass"] = f"{36 + at / 10_000:.4f} in"
        yield parse(document)


def main() -> None:
    spec, tables = parse(starter(5)), load_tables()
    specs = different_specs()
    deriving, answering = (iter(list(islice(specs, ROUNDS + WARM))) for _ in range(2))
    derived = derive(spec, tables)
    findings = check(derived, OrderFacts())
    written = answer(derived, findings)
    floor = median_ms(lambda: json.dumps(written))
    rows = {
        "json.dumps of the answer (the floor)": floor,
        "parse": median_ms(lambda: parse(starter(5))),
        "derive": median_ms(lambda: derive(next(deriving), tables)),
        "rules": median_ms(lambda: check(derived, OrderFacts())),
        "answer": median_ms(lambda: answer(derived, findings)),
        "derive and answer": median_ms(lambda: answer(derive(next(answering), tables), findings)),
    }
    for name, ms in rows.items():
        print(f"{name:40} {ms:8.3f} ms {ms / floor:7.1f} x")
    print(f"bar: derive and answer under {BAR} x")


if __name__ == "__main__":
    main()
