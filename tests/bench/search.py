"""What the search reaches in 1, 10 and 30 seconds, against the best rule and what the instance files have measured.

Use: ``search.py [SECONDS,...] [INSTANCE.json.gz or ORDERS:SEED ...]``; the latter invents a backlog of the family.
Bar: 30 s at least 5 % below ``search_30s``. Wants a quiet machine with two cores.
"""

from __future__ import annotations

import gzip
import json
import sys
from pathlib import Path
from time import perf_counter

from family import backlog
from ready import project

ROOT = project()

from routing.plan.candidates import cheapest_by_rule  # noqa: E402
from routing.plan.checker import violations  # noqa: E402
from routing.plan.cost import cost_of  # noqa: E402
from routing.plan.file import read_problem  # noqa: E402
from routing.plan.improve import improve  # noqa: E402

KNOWN = [*sorted(map(str, (ROOT / "tests" / "reference").glob("backlog-*.json.gz"))), "200:7", "400:7", "1000:7"]


def document(name: str) -> dict:
    """The instance of a file, or an invented one."""
    if ":" in name and not Path(name).exists():
        orders, seed = map(int, name.split(":"))
        return backlog(orders, seed)
    return json.loads(gzip.decompress(Path(name).read_bytes()))


def main() -> None:
    """One line for each instance."""
    seconds = [float(each) for each in (sys.argv[1] if len(sys.argv) > 1 else "1,10,30").split(",")]
    improve(read_problem(backlog(5, 1)), iterations=1)
    for name in sys.argv[2:] or KNOWN:
        given = document(name)
        problem, known = read_problem(given), given.get("measured", {})
        told = [f"{Path(name).name:24} rule {cost_of(problem, cheapest_by_rule(problem, 'plain'), 'plain'):9.1f}"]
        for limit in seconds:
            begun = perf_counter()
            plan = improve(problem, seconds=limit)
            took, cost = perf_counter() - begun, cost_of(problem, plan, "plain")
            measured = known.get(f"search_{limit:g}s") or given.get("proven_optimum")
            ratio = f" ({cost / measured:.3f} of measured)" if measured else ""
            wrong = "" if not violations(problem, plan) else " NOT FEASIBLE"
            told.append(f"{limit:g} s {cost:9.1f}{ratio} in {took:.1f} s{wrong}")
        print(" | ".join(told), flush=True)


if __name__ == "__main__":
    main()
