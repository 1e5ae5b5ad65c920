"""A plain spec document to change one thing of, for tests of the computing core."""

import copy
from typing import Any

from specs.derive import derive
from specs.derived import Derived
from specs.parsing import parse
from specs.tables import load_tables

FIVE_STRING = {
    "format": 1,
    "hand": "right",
    "strings": {
        "tuning": ["B0", "E1", "A1", "D2", "G2"],
        "gauges": ["0.130 in", "0.100 in", "0.080 in", "0.065 in", "0.045 in"],
        "winding": "nickel-plated round",
    },
    "scale": {"bass": "37 in", "treble": "34 in", "perpendicular_fret": 7},
    "nut": {"spread": "39 mm", "spacing": "equal-gaps"},
    "bridge": {"spread": "72 mm", "spacing": "equal-centres"},
    "fingerboard": {
        "frets": 24,
        "edge_margin_nut": "3 mm",
        "edge_margin_end": "4 mm",
        "radius_nut": "14 in",
        "radius_end": "18 in",
    },
}

FOUR_STRING = {
    "strings.tuning": ["E1", "A1", "D2", "G2"],
    "strings.gauges": ["0.105 in", "0.085 in", "0.065 in", "0.045 in"],
    "scale.bass": "36 in",
    "nut.spread": "33 mm",
    "bridge.spread": "57 mm",
}

SIX_STRING = {
    "strings.tuning": ["B0", "E1", "A1", "D2", "G2", "C3"],
    "strings.gauges": ["0.130 in", "0.105 in", "0.085 in", "0.065 in", "0.045 in", "0.032 in"],
    "scale.treble": "33 in",
    "nut.spread": "47 mm",
    "bridge.spread": "90 mm",
}


def document(changes: dict[str, Any] | None = None) -> dict[str, Any]:
    """The five-string document with the values at dotted paths changed."""
    changed = copy.deepcopy(FIVE_STRING)
    for path, value in (changes or {}).items():
        *sections, key = path.split(".")
        place = changed
        for section in sections:
            place = place.setdefault(section, {})
        place[key] = value
    return changed


def derived(changes: dict[str, Any] | None = None) -> Derived:
    """The instrument computed from that document."""
    return derive(parse(document(changes)), load_tables())
