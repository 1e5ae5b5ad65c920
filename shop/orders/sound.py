"""How an order's instrument is heard: loudness of the harmonics by string, and where its pickups resonate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from specs.acoustics.electrics import in_parallel_ohm, loaded_q, resonance_hz
from specs.acoustics.response import curve, fretted
from specs.derived import Derived
from specs.drawings.curves import StringCurve

HARMONICS = 20
STRENGTH = {"in phase": 1.0, "out of phase": -1.0, "off": 0.0}
"""How a pickup is mixed in: the sign of its coils against the first pickup's."""

INDUCTANCE_H = {"single coil": 3.6, "split coil": 5.0, "dual coil": 4.5, "large dual coil": 6.0}
WINDING_PF, CABLE_PF, WINDING_KOHM, INPUT_KOHM = 120.0, 500.0, 8.0, 1000.0
"""A bass pickup, five metres of cable, an amplifier's input. **Source**: common practice, no source; measure."""

ACTIVE_CABLE_PF = 20.0
"""Leads inside the body where a preamp follows. **Source**: common practice, no source."""


@dataclass(frozen=True)
class Heard:
    """One string's curve, and which pickups lie behind the fret where there is nothing to sense."""

    number: int
    pitch: str
    levels: tuple[float, ...]
    silent: tuple[str, ...]


def heard(derived: Derived, mix: Sequence[str], fret: float = 0, pluck: float | None = None) -> tuple[Heard, ...]:
    """Loudness of the first twenty harmonics of every string, bass to treble, through the pickups mixed in.

    ``mix`` is one word of ``STRENGTH`` a pickup; ``pluck`` the plucked fraction of the open string from the bridge.
    """
    return tuple(
        _string(derived, index, mix, fret, None if pluck is None else fretted(pluck, fret))
        for index in range(len(derived.strings))
    )


def _string(derived: Derived, index: int, mix: Sequence[str], fret: float, pluck: float | None) -> Heard:
    rows, silent = [], []
    for place, word in zip(derived.pickups, mix, strict=True):
        fraction = fretted(place.fractions[index], fret)
        if STRENGTH[word] and 0 < fraction < 1:
            rows.append((fraction, STRENGTH[word]))
        elif STRENGTH[word]:
            silent.append(place.name)
    string = derived.strings[index]
    return Heard(string.number, string.pitch, curve(rows, HARMONICS, pluck), tuple(silent))


def curves(strings: Sequence[Heard]) -> list[StringCurve]:
    """What is drawn of the strings, the highest first as the trade counts them."""
    return [StringCurve(f"{string.number} · {string.pitch}", string.levels) for string in reversed(strings)]


def spread_of(strings: Sequence[Heard]) -> float:
    """Greatest difference between two strings at any harmonic, as a share of the loudest; 0 is an even tone."""
    columns = list(zip(*(string.levels for string in strings), strict=True))
    loudest = max(map(max, columns))
    return max(max(column) - min(column) for column in columns) / loudest if loudest else 0.0


@dataclass(frozen=True)
class Coil:
    """A pickup's coil with what hangs on it."""

    inductance_h: float
    winding_pf: float
    cable_pf: float
    winding_kohm: float
    pots_kohm: tuple[float, ...]
    input_kohm: float


@dataclass(frozen=True)
class Resonance:
    """Where a loaded coil resonates, how high the peak stands, and the load on it."""

    resonance_hz: float
    q: float
    load_kohm: float


def usual_coil(derived: Derived) -> Coil:
    """Usual values for the instrument's first pickup and circuit. **Source**: common practice, no source."""
    electronics, pickups = derived.spec.electronics, derived.spec.pickups
    kind = pickups[0].kind if pickups else "dual coil"
    active = electronics.circuit.startswith("active")
    pots = (float(electronics.pot_kohm),) * (1 if active else 2)
    return Coil(
        INDUCTANCE_H[kind], WINDING_PF, ACTIVE_CABLE_PF if active else CABLE_PF, WINDING_KOHM, pots, INPUT_KOHM
    )  # fmt: skip


def resonance(coil: Coil) -> Resonance:
    """Resonance and height of the peak of a coil with cable, pots and input in parallel."""
    loads_ohm = [1000 * kohm for kohm in (*coil.pots_kohm, coil.input_kohm)]
    winding_f, cable_f = coil.winding_pf * 1e-12, coil.cable_pf * 1e-12
    return Resonance(
        resonance_hz(coil.inductance_h, winding_f, cable_f),
        loaded_q(coil.inductance_h, winding_f + cable_f, loads_ohm, 1000 * coil.winding_kohm),
        in_parallel_ohm(loads_ohm) / 1000,
    )
