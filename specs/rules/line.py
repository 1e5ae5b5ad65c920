"""Rules of the line of work: what a partner builds, what white wood has fixed, and a finish with no operations here."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from specs.canonical import complete
from specs.rules.ordered import Ordered
from specs.rules.rule import ERROR, Answer, At, rule

DATA = Path(__file__).parent.parent / "data" / "series_options.csv"

FIXED_BY_WHITE_WOOD = (
    "hand", "scale", "nut.spread", "nut.spacing", "nut.kind", "bridge", "fingerboard", "pickups", "neck", "body",
    "electronics.battery_boxes", "electronics.battery_place", "electronics.shafts",
)  # fmt: skip
"""Wood, outline, pickups, bridge, scale, hand and neck size, with the cavities cut for them. **Source**: common
practice."""


@cache
def series_options() -> dict[str, tuple[str, ...]]:
    """The values a series model may have by dotted path, as the list writes them; a path not listed is open.

    **Source**: each row of ``data/series_options.csv``.
    """
    with DATA.open(encoding="utf-8", newline="") as rows:
        return {row["path"]: tuple(row["values"].split("|")) for row in csv.DictReader(rows)}


@rule("series-options-closed", ERROR, "body",
      "{figure} is not on the series list: the partner builds batches. Order it as a custom build, or change at home "
      "only strings, setup, nut, pickups or straps.")  # fmt: skip
def series_options_closed(order: Ordered) -> Answer:
    return next(_outside(order), None) if order.facts.line == "series" else None


def _outside(order: Ordered) -> Iterator[At]:
    document = complete(order.spec)
    for path, allowed in series_options().items():
        section, key = path.split(".")
        chosen = _written(document[section][key])
        if chosen not in allowed:
            yield At(path, chosen)


def _written(chosen: Any) -> str:
    """A value as the list writes it: words as they are, numbers to a hundredth."""
    return f"{chosen:.2f}".rstrip("0").rstrip(".") if isinstance(chosen, int | float) else str(chosen)


@rule("white-wood-is-fixed", ERROR, "body",
      "{figure} was fixed when the white wood was signed off; a change is a new build. Still open: colour before the "
      "sealer, strings, straps, knobs, case.")  # fmt: skip
def white_wood_is_fixed(order: Ordered) -> Answer:
    changed = order.facts.changed if order.facts.past_white_wood else ()
    return next((At(path, path) for path in changed if _fixed(path)), None)


def _fixed(path: str) -> bool:
    return any(path == fixed or path.startswith(f"{fixed}.") for fixed in FIXED_BY_WHITE_WOOD)


@rule("water-borne-has-no-operations", ERROR, "finish.kind",
      "{figure} has no clear-coat operations here, so a custom build cannot be planned with it. Choose two-component "
      "or nitrocellulose.", source="the workshop's own operations")  # fmt: skip
def water_borne_has_no_operations(order: Ordered) -> Answer:
    kind = order.spec.finish.kind
    return order.facts.line == "custom" and kind == "water-borne" and kind.capitalize()
