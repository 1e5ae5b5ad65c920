"""Which strings would suit an order: the best set of all that are known, and what another tuning would change."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from specs.acoustics.pitch import frequency_hz
from specs.acoustics.string_sets import MOST_ROWS, Wire, choose
from specs.acoustics.tension import pull, tension_n
from specs.derived import Derived, String, Tension
from specs.models import WeighedString
from specs.tables import POUND_KG, load_tables
from specs.tunings import Tuning
from specs.units import MM_PER_INCH

INCH_MM = float(MM_PER_INCH)
SLOT_DIFFERS_MM = 0.10
"""A nut slot is cut anew where the gauge differs by more. **Source**: common practice."""

THICK_IN = 0.145
"""From here on slot, bridge and tuner must be looked at. **Source**: common practice."""

MISS = 0.10
"""A string that pulls so much more or less than wanted has no fitting gauge; share. **Source**: own choice."""


@dataclass(frozen=True)
class Known:
    """Every string of one winding that has a weight: published, or weighed in the shop (which counts for more)."""

    winding: str
    wires: tuple[Wire, ...]
    weighed: frozenset[float]
    """Gauges in inches that the shop weighed."""

    def wire(self, gauge_in: float) -> Wire:
        """The string of that gauge. Raises KeyError."""
        found = [wire for wire in self.wires if abs(wire.gauge_in - gauge_in) < 1e-6]
        if not found:
            raise KeyError(gauge_in)
        return found[0]


@dataclass(frozen=True)
class SetLine:
    """One string of a set."""

    number: int
    pitch: str
    gauge_in: float
    tension_n: float
    weighed: bool = False

    @property
    def gauge_mm(self) -> float:
        """The gauge in mm."""
        return self.gauge_in * INCH_MM


@dataclass(frozen=True)
class StringsSet:
    """A set, bass to treble, with its pull."""

    lines: tuple[SetLine, ...]
    pull: Tension


@dataclass(frozen=True)
class Change:
    """What another tuning means for one string: with the string that is on, and with the best one."""

    number: int
    pitch: str
    kept_n: float
    best: SetLine
    slot: bool
    thick: bool
    no_gauge: bool


@dataclass(frozen=True)
class OtherTuning:
    """A tuning beside the present one: what every string does, and the set that pulls as the present one does."""

    tuning: Tuning
    changes: tuple[Change, ...]
    kept: Tension
    best: Tension

    @property
    def slots(self) -> tuple[int, ...]:
        """Strings whose nut slot is cut anew."""
        return tuple(change.number for change in self.changes if change.slot)


def known_strings(winding: str) -> Known:
    """Published rows and the shop's own newest weighings of a winding, thin to thick."""
    wires = {round(row.gauge_in, 6): row.unit_weight_lb_in for row in load_tables().strings.of(winding)}
    own = WeighedString.objects.newest().filter(winding=winding).order_by("gauge_mm")[: MOST_ROWS - len(wires)]
    weighed = {round(string.gauge_mm / INCH_MM, 6): string.unit_weight_lb_in for string in own}
    rows = tuple(Wire(*row) for row in sorted((wires | weighed).items()))
    return Known(winding, rows, frozenset(weighed))


def present_set(derived: Derived) -> StringsSet:
    """The set an instrument has now."""
    return StringsSet(tuple(_present(string) for string in derived.strings), derived.tension)


def best_set(
    derived: Derived, known: Known, targets_n: Sequence[float] | None = None, tuning: Sequence[str] = ()
) -> StringsSet | None:
    """The evenest set of the known strings, or the one nearest to the targets; None where none is known."""
    if not known.wires:
        return None
    pitches = tuple(tuning) or derived.spec.strings.tuning
    scales_mm = [string.scale_mm for string in derived.strings]
    chosen = choose(scales_mm, _frequencies(derived, pitches), known.wires, targets_n)
    rows = zip(derived.strings, pitches, chosen.gauges_in, chosen.tensions_n, strict=True)
    lines = tuple(
        SetLine(string.number, pitch, gauge_in, pull_n, round(gauge_in, 6) in known.weighed)
        for string, pitch, gauge_in, pull_n in rows
    )
    return StringsSet(lines, pull(chosen.tensions_n))


def other_tuning(derived: Derived, known: Known, tuning: Tuning) -> OtherTuning | None:
    """What that tuning changes; the best set pulls as near as can be as the present strings do now."""
    best = best_set(derived, known, [string.tension_n for string in derived.strings], tuning.pitches)
    if best is None:
        return None
    kept_n = [
        tension_n(string.unit_mass_kg_m, string.scale_mm, hertz)
        for string, hertz in zip(derived.strings, _frequencies(derived, tuning.pitches), strict=True)
    ]
    changes = tuple(map(_change, derived.strings, kept_n, best.lines))
    return OtherTuning(tuning, changes, pull(kept_n), best.pull)


def unit_weights(known: Known, gauges_in: Sequence[float]) -> list[float | None] | None:
    """What a document says of that set: the shop's own weights, None where the published one holds."""
    weights = [
        known.wire(gauge).unit_weight_lb_in if round(gauge, 6) in known.weighed else None for gauge in gauges_in
    ]  # fmt: skip
    return weights if any(weights) else None


def targets(given_n: Sequence[float], strings: int) -> list[float]:
    """One target for all strings, or one for each, bass to treble. Raises ValueError for another number of them."""
    if len(given_n) not in (1, strings):
        raise ValueError(len(given_n))
    return [*given_n] * (strings if len(given_n) == 1 else 1)


def unit_weight_lb_in(weight_g: float, length_mm: float) -> float:
    """What an inch of a string weighs in pounds, from a piece on the scales."""
    return weight_g / 1000 / POUND_KG / (length_mm / INCH_MM)


def _present(string: String) -> SetLine:
    return SetLine(string.number, string.pitch, string.gauge_mm / INCH_MM, string.tension_n)


def _frequencies(derived: Derived, pitches: Sequence[str]) -> list[float]:
    return [frequency_hz(pitch, derived.spec.strings.reference_pitch_hz) for pitch in pitches]


def _change(string: String, kept_n: float, best: SetLine) -> Change:
    return Change(
        number=string.number,
        pitch=best.pitch,
        kept_n=kept_n,
        best=best,
        slot=abs(best.gauge_mm - string.gauge_mm) > SLOT_DIFFERS_MM,
        thick=best.gauge_in >= THICK_IN,
        no_gauge=abs(best.tension_n / string.tension_n - 1) > MISS,
    )
