"""Ordinary instruments an order starts from, and the scale pairs that suit each number of strings."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from specs.canonical import complete
from specs.document import FORMAT
from specs.parsing import parse
from specs.units import length_mm

Document = dict[str, Any]


@dataclass(frozen=True)
class Pair:
    """A scale pair in inches with its perpendicular fret, for a number of strings; ``source`` says whose word it is."""

    strings: int
    bass_in: float
    treble_in: float
    perpendicular_fret: float
    source: str = "common practice, no source"


DEFAULT_PAIRS = (Pair(4, 36, 34, 7), Pair(5, 37, 34, 7), Pair(6, 37, 34, 7), Pair(6, 37, 33, 7))
"""What a shop offers unasked. **Source**: common practice, no source."""

USUAL_PAIRS = (
    Pair(4, 34, 32, 7), Pair(4, 35, 33, 7), Pair(4, 36, 34, 7),
    Pair(5, 35, 33, 7), Pair(5, 36, 34, 7), Pair(5, 37, 34, 7),
    Pair(6, 36, 33, 7), Pair(6, 37, 34, 7), Pair(6, 37, 33, 7),
)  # fmt: skip
"""Every pair ordered often. **Source**: common practice, no source."""


@dataclass(frozen=True)
class _Usual:
    """The usual figures of one number of strings, bass to treble. **Source**: common practice, no source."""

    tuning: tuple[str, ...]
    gauges: tuple[str, ...]
    spread_nut: str
    spread_bridge: str
    truss_rod: str


_USUAL = {
    4: _Usual(
        ("E1", "A1", "D2", "G2"), (".105 in", ".085 in", ".065 in", ".045 in"),
        "29 mm", "57 mm", "620 mm",
    ),
    5: _Usual(
        ("B0", "E1", "A1", "D2", "G2"), (".130 in", ".105 in", ".085 in", ".065 in", ".045 in"),
        "38 mm", "72 mm", "630 mm",
    ),
    6: _Usual(
        ("B0", "E1", "A1", "D2", "G2", "C3"), (".130 in", ".105 in", ".085 in", ".065 in", ".045 in", ".032 in"),
        "45 mm", "90 mm", "630 mm",
    ),
}  # fmt: skip


def starter(strings: int, construction: str = "bolt-on", hand: str = "right") -> Document:
    """The completed document of an ordinary instrument with 4, 5 or 6 strings on that number's first default pair.

    Raises KeyError for another number of strings, Refused for an unknown construction or hand.
    **Source**: common practice, no source; the high C takes a gauge with a published row (.032 in).
    """
    return complete(parse(_ordinary(_USUAL[strings], strings, construction, hand)))


def with_pair(
    document: Mapping[str, Any], bass: float | str, treble: float | str, perpendicular_fret: float
) -> Document:
    """The document on another scale pair; lengths as a document writes them (mm, or text with a unit)."""
    changed = copy.deepcopy(dict(document))
    changed["scale"] = {
        "bass": length_mm(bass), "treble": length_mm(treble), "perpendicular_fret": perpendicular_fret,
    }  # fmt: skip
    return changed


def _ordinary(usual: _Usual, strings: int, construction: str, hand: str) -> Document:
    pair = next(pair for pair in DEFAULT_PAIRS if pair.strings == strings)
    document = {
        "format": FORMAT,
        "hand": hand,
        "strings": {"tuning": usual.tuning, "gauges": usual.gauges, "winding": "nickel-plated round"},
        "nut": {"spread": usual.spread_nut, "spacing": "equal-gaps"},
        "bridge": {"spread": usual.spread_bridge, "spacing": "equal-centres"},
        "fingerboard": _board(),
        "pickups": [_pickup("neck", 0.155, strings), _pickup("bridge", 0.06, strings)],
        "neck": {"construction": construction, "truss_rod": usual.truss_rod},
        "electronics": {"circuit": "passive blend", "blend": True},
    }
    return with_pair(document, f"{pair.bass_in} in", f"{pair.treble_in} in", pair.perpendicular_fret)


def _board() -> Document:
    return {
        "frets": 24, "edge_margin_nut": "3.5 mm", "edge_margin_end": "4 mm",
        "radius_nut": "16 in", "radius_end": "20 in", "inlay": "side only",
    }  # fmt: skip


def _pickup(name: str, fraction: float, strings: int) -> Document:
    every = list(range(1, strings + 1))
    return {"name": name, "rows": [{"strings": every}], "fraction": fraction, "angle": "aligned"}
