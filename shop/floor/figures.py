"""The key figures of an operation, as a bench reads them: a label and the value in the reader's units."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from routing.catalogue import Operation
from shop.floor import placing
from shop.people.models import Units
from specs.derived import Derived
from specs.units import decimal_inches, inches, millimetres, trimmed

Say = Callable[[float], str]
BIG = 3
AFTER_THE_OTHERS = (
    "fret_count", "scale_pair", "pickup_place", "slot_depth", "string_path",
)  # fmt: skip
"""Known to the hand already, or too long to stand large: big only where nothing else is asked."""

DRILLED_FOR = "saddle_window"
OF_SADDLES = ("setback", DRILLED_FOR)
"""Figures that come string by string: the card tabulates them beside the shop's own measured setbacks."""


class Figure(NamedTuple):
    label: str
    value: str


def saying(units: str) -> Say:
    """How lengths are said to a person who reads these units."""
    return {Units.INCH.value: decimal_inches, Units.INCH64.value: inches}.get(units, millimetres)


def figures(row: Operation, instrument: Derived, units: str) -> list[Figure]:
    """The operation's key figures, the most needed first; hand and saddles stand elsewhere, in words and a table."""
    keys = [key for key in row.key_figures if key != "hand" and key not in OF_SADDLES]
    keys.sort(key=lambda key: key in AFTER_THE_OTHERS)
    say = saying(units)
    return [Figure(str(LABELS[key]), SAID[key](instrument, say)) for key in keys]


def scale_pair(instrument: Derived) -> str:
    """Bass and treble scale as the trade calls them, in inches whatever units one reads: 37–34 in."""
    scale = instrument.spec.scale
    return _joined("–", decimal_inches(scale.bass_mm), decimal_inches(scale.treble_mm))


def _joined(mark: str, one: str, other: str) -> str:
    """Two lengths with their unit said once."""
    number, space, unit = one.rpartition(" ")
    return f"{number}{mark}{other}" if space and other.endswith(f" {unit}") else f"{one}{mark}{other}"


def _two(first: float | None, second: float | None, say: Say) -> str:
    one, other = (_("flat") if mm is None else say(mm) for mm in (first, second))
    return one if one == other else _joined(" · ", one, other)


def _angle(degrees: float) -> str:
    if abs(degrees) < 0.005:
        return _("square")
    toward = _("treble end toward the bridge") if degrees > 0 else _("treble end toward the nut")
    return f"{abs(degrees):.2f}° {toward}"


def _ends(values: list[float | None], say: Say) -> str:
    return _two(values[0], values[-1], say) if values else "–"


def _action(instrument: Derived, say: Say) -> str:
    heights = instrument.spec.action.h_saddle_mm
    return _two(heights[0], heights[-1], say)


LABELS = {
    "scale_pair": gettext_lazy("Scale pair"),
    "perpendicular_fret": gettext_lazy("Square fret"),
    "fret_count": gettext_lazy("Frets"),
    "nut_width": gettext_lazy("Board width at nut, square · along the slant"),
    "nut_angle": gettext_lazy("Nut angle"),
    "bridge_spread": gettext_lazy("Outer strings at bridge"),
    "bridge_angle": gettext_lazy("Bridge angle"),
    "board_length": gettext_lazy("Board length on the centre line"),
    "board_widths": gettext_lazy("Board width, nut · last fret"),
    "radius": gettext_lazy("Radius, nut · last fret"),
    "bend_radius": gettext_lazy("Bend radius, fret 1 · last"),
    "slot_lengths": gettext_lazy("Slot, fret 1 · last"),
    "wire_total": gettext_lazy("Wire to cut, all frets"),
    "tuning": gettext_lazy("Tuning, low to high"),
    "gauges": gettext_lazy("Gauges, low to high"),
    "tension_total": gettext_lazy("Tension, whole set"),
    "action": gettext_lazy("Height at saddle, low · high"),
    "pickup_place": gettext_lazy("Pickup middle from the bridge line, on the centre line"),
    "slot_depth": gettext_lazy("Slot depth"),
    "string_path": gettext_lazy("Way of the strings"),
}
SAID: dict[str, Callable[[Derived, Say], str]] = {
    "scale_pair": lambda made, say: scale_pair(made),
    "perpendicular_fret": lambda made, say: trimmed(made.spec.scale.perpendicular_fret),
    "fret_count": lambda made, say: str(made.spec.fingerboard.frets),
    "nut_width": placing.nut_width,
    "nut_angle": lambda made, say: _angle(made.nut_angle_deg),
    "bridge_spread": lambda made, say: say(made.spec.bridge.spread_mm),
    "bridge_angle": lambda made, say: _angle(made.bridge_angle_deg),
    "board_length": lambda made, say: say(made.board.length_mm),
    "board_widths": lambda made, say: _two(made.board.width_nut_mm, made.board.width_end_mm, say),
    "radius": lambda made, say: _two(made.spec.fingerboard.radius_nut_mm, made.spec.fingerboard.radius_end_mm, say),
    "bend_radius": lambda made, say: _ends([fret.bend_radius_mm for fret in made.frets[1:]], say),
    "slot_lengths": lambda made, say: _ends([fret.slot_mm for fret in made.frets[1:]], say),
    "wire_total": lambda made, say: say(made.board.wire_total_mm),
    "tuning": lambda made, say: " ".join(made.spec.strings.tuning),
    "gauges": lambda made, say: " · ".join(decimal_inches(mm) for mm in made.spec.strings.gauges_mm),
    "tension_total": lambda made, say: f"{made.tension.total_n:.0f} N",
    "action": _action,
    "pickup_place": lambda made, say: placing.pickup_place(made, say, _angle),
    "slot_depth": placing.slot_depth,
    "string_path": placing.string_path,
}
