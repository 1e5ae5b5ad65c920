"""What another number of strings, pickups or coil rows does to a document being typed: what fits is kept."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

from shop.orders.entries import MOST_PICKUPS, Document, as_typed, strings_in
from specs.document import FEWEST_STRINGS, MOST_STRINGS, BuildSpec
from specs.fields import ByStrings, declared
from specs.starters import starter

PER_STRING = (
    ("strings", "tuning"), ("strings", "gauges"), ("strings", "cores"), ("strings", "unit_weights"),
    ("action", "h_saddle"),
)  # fmt: skip
USUAL = {count: as_typed(starter(count)) for count in (4, 5, 6)}


def with_strings(document: Mapping[str, Any], count: int) -> Document:
    """The document for that many strings: strings that stay keep their values, new ones take the usual."""
    changed, before = copy.deepcopy(dict(document)), strings_in(document)
    if count == before or not FEWEST_STRINGS <= count <= MOST_STRINGS:
        return changed
    taken = _places(changed["strings"]["tuning"], count)
    for section, key in PER_STRING:
        changed[section][key] = _resized(changed[section][key], taken, _usual(section, key, count))
    for pickup in changed["pickups"]:
        _cover(pickup["rows"], count)
    _follow_defaults(changed, before, count)
    return changed


def with_equal_centres(document: Mapping[str, Any]) -> Document:
    """The document with proportional spacing: equal centres at nut and bridge, on which straight frets are on pitch."""
    changed = copy.deepcopy(dict(document))
    for end in ("nut", "bridge"):
        changed[end]["spacing"] = "equal-centres"
    return changed


def _places(tuning: list[Any], count: int) -> list[int | None]:
    """For each string of the new set, which old one it is: pitches of the usual set find theirs, else from the top."""
    usual = USUAL[count]["strings"]["tuning"] if count in USUAL else []
    if any(pitch in tuning for pitch in usual):
        return [tuning.index(pitch) if pitch in tuning else None for pitch in usual]
    shift = len(tuning) - count
    return [at + shift if at + shift >= 0 else None for at in range(count)]


def _usual(section: str, key: str, count: int) -> list[Any]:
    usual = USUAL[count][section][key] if count in USUAL else None
    return usual or [None if key in ("cores", "unit_weights") else ""] * count


def _resized(values: Any, taken: list[int | None], usual: list[Any]) -> Any:
    if not isinstance(values, list):
        return values
    return [usual[at] if old is None or old >= len(values) else values[old] for at, old in enumerate(taken)]


def _cover(rows: list[dict[str, Any]], count: int) -> None:
    """Leave out strings that are gone; give new ones to the row that holds the lowest string."""
    for row in rows:
        row["strings"] = [number for number in row["strings"] if not isinstance(number, int) or number <= count]
    named = {number for row in rows for number in row["strings"]}
    missing = [number for number in range(1, count + 1) if number not in named]
    if rows and missing:
        lowest = max(rows, key=lambda row: max((n for n in row["strings"] if isinstance(n, int)), default=0))
        lowest["strings"] = [*lowest["strings"], *missing]


def _follow_defaults(document: Document, before: int, count: int) -> None:
    """Values that stood at the usual one of the old number of strings take the usual one of the new."""
    for section in declared(BuildSpec):
        for item in declared(section.kind) if section.is_section else ():
            by_strings = isinstance(item.default, ByStrings)
            usual = as_typed({section.key: {item.key: item.default_for(before)}}) if by_strings else None
            if usual and document[section.key][item.key] == usual[section.key][item.key]:
                new = as_typed({section.key: {item.key: item.default_for(count)}})
                document[section.key][item.key] = new[section.key][item.key]


def with_another_pickup(document: Mapping[str, Any]) -> Document:
    """The document with one more pickup, over every string, if there is room for it."""
    changed = copy.deepcopy(dict(document))
    if len(changed["pickups"]) < MOST_PICKUPS:
        every = list(range(1, strings_in(document) + 1))
        pickup = {"name": f"pickup {len(changed['pickups']) + 1}", "rows": [{"strings": every}]}
        changed["pickups"].append({**pickup, "fraction": 0.1, "angle": "aligned"})
    return as_typed(changed)


def without_pickup(document: Mapping[str, Any], at: int) -> Document:
    """The document without the pickup at that place."""
    changed = copy.deepcopy(dict(document))
    changed["pickups"] = [pickup for place, pickup in enumerate(changed["pickups"]) if place != at]
    return changed


def with_another_row(document: Mapping[str, Any], at: int) -> Document:
    """The document with one more coil row in that pickup, still without strings."""
    changed = copy.deepcopy(dict(document))
    if at < len(changed["pickups"]):
        changed["pickups"][at]["rows"].append({"strings": [], "offset": "0 mm"})
    return changed


def without_row(document: Mapping[str, Any], at: int, row: int) -> Document:
    """The document without that coil row."""
    changed = copy.deepcopy(dict(document))
    if at < len(changed["pickups"]):
        rows = changed["pickups"][at]["rows"]
        changed["pickups"][at]["rows"] = [kept for place, kept in enumerate(rows) if place != row]
    return changed
