"""Where the saddles go: the setback that makes the octave true, what it leaves at the other frets, and what to drill.

The setback treats the string's ends as hinged, so it is the least one; the window behind it leaves room for more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import expm1, inf, log, log1p
from statistics import median

from specs.acoustics.sharpening import Heights, sharpening_cents
from specs.acoustics.stiffness import ESTIMATE_ERROR, Core, StiffString, core
from specs.derived import Fret
from specs.document import BuildSpec
from specs.errors import Problem, Refused
from specs.geometry.strings import Layout

OCTAVE_FRET = 12
FRONT_ROOM_MM, BACK_ROOM_MM = 1.0, 2.0
FEWEST_MEASURED = 5

_CENT = log(2) / 1200


class Unsettable(ValueError):
    """No place of the saddle sounds in tune; ``field`` is what to change."""

    def __init__(self, field: str, message: str) -> None:
        self.field = field
        super().__init__(message)


@dataclass(frozen=True)
class Saddle:
    """A string's setback behind its scale point, the window to drill for, and what stays out of tune at each fret."""

    inharmonicity: float
    setback_mm: float
    window_mm: tuple[float, float]
    residual_cents: tuple[float, ...]
    core_estimated: bool
    setback_range_mm: tuple[float, float] | None
    """Setback with an estimated core thinner and thicker by its error (infinite where none serves); else None."""


@dataclass(frozen=True)
class FrettedString:
    """A string over its board: distances from the nut and errors of the straight frets, in mm and cents, nut first."""

    string: StiffString
    heights: Heights
    from_nut_mm: tuple[float, ...]
    error_cents: tuple[float, ...]
    forward_mm: float = 0.0

    def setback_mm(self) -> float:
        """Extra length at the bridge that makes fret 12 (or the last one before it) true against the open string.

        Closed form of the definition's equation: x = (L − w − ρ(L − d)) / (ρ − 1), ρ = 2^((100m − s)/1200), with
        L − d written as L·2^(−m/12) and the fret's own error. Raises Unsettable.
        """
        fret = min(OCTAVE_FRET, len(self.from_nut_mm) - 1)
        sharp = self._sharp_at(fret)
        if sharp >= 100 * fret:
            raise Unsettable("action.h_saddle", f"pressing it to fret {fret} sharpens it by {sharp:.0f} cents")
        missing_mm = self.string.scale_mm * expm1(-(sharp + self.error_cents[fret]) * _CENT) + self.forward_mm
        return 0.0 - missing_mm / expm1((100 * fret - sharp) * _CENT)

    def residual_cents(self, setback_mm: float) -> tuple[float, ...]:
        """How sharp each fret still sounds with that setback, in cents; 0 open by definition.

        1200·log2((L + x − w) / (L + x − d)) − 100k + s, with L/(L − d) told by the fret's own error. Raises Unsettable.
        """
        open_share = (setback_mm - self.forward_mm) / self.string.scale_mm
        shortest_mm = self._stopped_mm(len(self.from_nut_mm) - 1)
        if open_share <= -1 or shortest_mm + setback_mm <= 0:
            field = "nut.forward" if self.forward_mm else "nut.spacing"
            raise Unsettable(field, f"its saddle would stand {-setback_mm:.1f} mm toward the nut, before a fret")
        opened = log1p(open_share) / _CENT
        return (0.0, *(opened + self._own_cents(fret, setback_mm) for fret in range(1, len(self.from_nut_mm))))

    def _own_cents(self, fret: int, setback_mm: float) -> float:
        longer = log1p(setback_mm / self._stopped_mm(fret)) / _CENT
        return self.error_cents[fret] + self._sharp_at(fret) - longer

    def _stopped_mm(self, fret: int) -> float:
        return self.string.scale_mm - self.from_nut_mm[fret]

    def _sharp_at(self, fret: int) -> float:
        return sharpening_cents(self.string, self.heights, fret, self.from_nut_mm[fret])


def window_mm(string: StiffString, setback_mm: float) -> tuple[float, float]:
    """Nearest and farthest place behind the scale point a saddle must reach, in mm; negative is before it.

    From 1 mm before the scale point or the setback to 2 mm behind the setback of a clamped end.
    """
    return min(0.0, setback_mm) - FRONT_ROOM_MM, setback_mm + string.clamp_mm + BACK_ROOM_MM


def saddle(fretted: FrettedString) -> Saddle:
    """Setback, window and residuals of one string. Raises Unsettable."""
    string, setback_mm = fretted.string, fretted.setback_mm()
    return Saddle(
        inharmonicity=string.inharmonicity,
        setback_mm=setback_mm,
        window_mm=window_mm(string, setback_mm),
        residual_cents=fretted.residual_cents(setback_mm),
        core_estimated=string.core.estimated,
        setback_range_mm=_range_mm(fretted) if string.core.estimated else None,
    )


def _range_mm(fretted: FrettedString) -> tuple[float, float]:
    thin, thick = (
        replace(fretted, string=fretted.string.with_core_off_by(share)) for share in (-ESTIMATE_ERROR, ESTIMATE_ERROR)
    )
    try:
        return thin.setback_mm(), thick.setback_mm()
    except Unsettable:
        return thin.setback_mm(), inf


def saddles(spec: BuildSpec, plan: Layout, tensions_n: Sequence[float], frets: Sequence[Fret]) -> tuple[Saddle, ...]:
    """Every string's saddle, bass to treble. Raises Refused once for each field that lets no saddle sound in tune."""
    found: list[Saddle] = []
    problems: dict[str, Problem] = {}
    for index, tension_n in enumerate(tensions_n):
        try:
            found.append(saddle(_fretted(spec, plan.scale_mm(index), tension_n, index, frets)))
        except Unsettable as unsettable:
            problem = _problem(spec.strings.count - index, unsettable)
            problems.setdefault(problem.field, problem)
    if problems:
        raise Refused(problems.values())
    return tuple(found)


_REMEDY = {
    "action.h_saddle": "lower the saddle, or order a thinner core",
    "nut.forward": "move the nut forward less",
    "nut.spacing": "choose the same spacing at nut and bridge",
}


def _problem(number: int, unsettable: Unsettable) -> Problem:
    return Problem(unsettable.field, "out-of-tune", f"string {number}: {unsettable}; {_REMEDY[unsettable.field]}")


def _fretted(spec: BuildSpec, scale_mm: float, tension_n: float, index: int, frets: Sequence[Fret]) -> FrettedString:
    nut_mm = 0.0 if spec.nut.kind == "zero fret" else spec.action.h_nut_mm
    return FrettedString(
        StiffString(scale_mm, tension_n, string_core(spec, index)),
        Heights(nut_mm, spec.action.h_saddle_mm[index]),
        tuple(fret.from_nut_mm[index] for fret in frets),
        tuple(fret.error_cents[index] for fret in frets),
        spec.nut.forward_mm,
    )


def string_core(spec: BuildSpec, index: int) -> Core:
    """The core of the spec's string at that place, bass first."""
    strings = spec.strings
    given = strings.cores_mm[index] if strings.cores_mm else None
    return core(strings.gauges_mm[index], strings.winding, given)


def shop_setback_mm(measured_mm: Sequence[float]) -> float | None:
    """The shop's own setback of a string: the median of its measured setups in mm, None under five of them."""
    return median(measured_mm) if len(measured_mm) >= FEWEST_MEASURED else None
