"""Which gauges of a catalogue make the best set for an instrument's scales and tuning.

Without a target the set pulls as evenly as the catalogue allows; with one its greatest miss is least. Ties within 1e-12
go to the smaller sum of squared misses, then to the lighter set. Gauges never thicken toward the treble. The answer is
that of trying every set, though most are never looked at.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from math import fsum, inf, sqrt
from operator import add
from typing import Any, NamedTuple

from specs.acoustics.pitch import frequency_hz
from specs.acoustics.tension import evenness_pct, tension_n
from specs.arguments import read_nested
from specs.errors import Problem, Refused
from specs.fields import ListOf, Number, Pitch
from specs.tables import UnitWeight

TIE = 1e-12
MOST_STRINGS, MOST_ROWS = 12, 500

_TENSION = Number(0, 100_000, "N", open_ends=True)
_TARGET = Number(0, 100_000, "N", open_ends=True, or_null="the evenest set")
_ROW = {"gauge_in": Number(0, 10, "in", open_ends=True), "unit_weight_lb_in": Number(0, 1, "lb/in", open_ends=True)}
CHOOSER_ARGUMENTS = {
    "scales_mm": ListOf(Number(0, 10_000, "mm", open_ends=True), 1, MOST_STRINGS),
    "tuning": ListOf(Pitch(), 1, MOST_STRINGS),
    "catalogue": ListOf(_ROW, 1, MOST_ROWS),
}


class Wire(NamedTuple):
    """A row of a catalogue."""

    gauge_in: float
    unit_weight_lb_in: float


@dataclass(frozen=True)
class StringSet:
    """A chosen set, bass to treble."""

    gauges_in: tuple[float, ...]
    tensions_n: tuple[float, ...]
    evenness_pct: float


class _Fit(NamedTuple):
    """One wire on one string: its tension, its share of the sum to make least, and its share of the squares."""

    tension_n: float
    wire: Wire
    value: float
    square: float


class _Begun(NamedTuple):
    """A set begun from the bass, with its sums so far."""

    value: float
    square: float
    weight: float
    fits: tuple[_Fit, ...]

    def grown(self, fit: _Fit) -> _Begun:
        """The set with one more string."""
        weight = self.weight + fit.wire.unit_weight_lb_in
        return _Begun(self.value + fit.value, self.square + fit.square, weight, (*self.fits, fit))


_Fits = tuple[_Fit, ...]
_Layers = Sequence[Sequence[_Fit]]
"""The fits to choose from for each string, bass to treble, each thick to thin."""


def choose(
    scales_mm: Sequence[float], frequencies_hz: Sequence[float], catalogue: Sequence[Wire],
    targets_n: Sequence[float] | None = None,
) -> StringSet:  # fmt: skip
    """The best set for strings of those scales and pitches, bass to treble; the catalogue must not be empty.

    ``targets_n`` is the tension wanted of each string, in newtons. **Source**: public format, version 1.
    """
    pulls_n = [
        [tension_n(UnitWeight(wire.unit_weight_lb_in).kg_m, scale_mm, frequency) for wire in catalogue]
        for scale_mm, frequency in zip(scales_mm, frequencies_hz, strict=True)
    ]
    fits = _evenest(pulls_n, catalogue) if targets_n is None else _nearest(pulls_n, catalogue, targets_n)
    tensions_n = tuple(fit.tension_n for fit in fits)
    return StringSet(tuple(fit.wire.gauge_in for fit in fits), tensions_n, evenness_pct(tensions_n))


def _nearest(pulls_n: Sequence[Sequence[float]], catalogue: Sequence[Wire], targets_n: Sequence[float]) -> _Fits:
    """The set whose greatest miss is least; it uses no fit that misses by more."""
    layers = []
    for row, target_n in zip(pulls_n, targets_n, strict=True):
        squares = [(pull_n / target_n - 1) ** 2 for pull_n in row]
        layers.append(_thick_to_thin(map(_Fit, row, catalogue, squares, squares)))
    limit = sqrt(min(_to_go(layers, max)[0])) + TIE
    layers = [[fit for fit in layer if sqrt(fit.value) <= limit] for layer in layers]
    least = min(_to_go(layers, add)[0])
    return _first(_near_best(layers, least + TIE), (lambda fits: fsum(fit.square for fit in fits),))


def _evenest(pulls_n: Sequence[Sequence[float]], catalogue: Sequence[Wire]) -> _Fits:
    """The set of least evenness. It lies between its own least and greatest tension, and of the sets between those
    none has a greater total; so every such window that could still win is tried."""
    rows = [
        sorted(_Fit(pull_n, wire, -pull_n, pull_n**2) for pull_n, wire in zip(row, catalogue, strict=True))
        for row in pulls_n
    ]
    tried = list(_windows(rows))
    limit = min(evenness for evenness, _, _ in tried) + TIE
    sets: list[_Fits] = []
    for evenness, low_n, high_n in tried:
        if evenness <= limit:
            sets += _near_best(_between(rows, low_n, high_n), -len(rows) * (high_n - low_n) / limit)
    return _first(sets, (_evenness, _unevenness))


def _windows(rows: _Layers) -> Iterator[tuple[float, float, float]]:
    """Least evenness that a window of tensions may hold, and its ends: none that is beaten before it is tried."""
    levels = sorted({fit.tension_n for row in rows for fit in row})
    greatest = cache(lambda high_n: _greatest_total_n(rows, 0.0, high_n))
    best, start = inf, 0
    for at, low_n in enumerate(levels):
        start = max(start, at)
        for upper in range(start, len(levels)):
            high_n = levels[upper]
            width_n = high_n - low_n
            if width_n > (best + TIE) * high_n:
                break
            if len(rows) * width_n > (best + TIE) * greatest(high_n):
                continue
            total_n = _greatest_total_n(rows, low_n, high_n)
            if total_n > 0:
                best = min(best, len(rows) * width_n / total_n)
                yield len(rows) * width_n / total_n, low_n, high_n
            else:
                start = upper + 1


def _greatest_total_n(rows: _Layers, low_n: float, high_n: float) -> float:
    """Greatest total of a set whose tensions lie within the window; minus infinity where there is none."""
    layers = _between(rows, low_n, high_n)
    return -min(_to_go(layers, add)[0]) if all(layers) else -inf


def _between(rows: _Layers, low_n: float, high_n: float) -> _Layers:
    """The fits with a tension within the window, from rows that go from slack to tight."""
    within = [
        row[bisect_left(row, low_n, key=_tension_n) : bisect_right(row, high_n, key=_tension_n)] for row in rows
    ]  # fmt: skip
    return [_thick_to_thin(fits) for fits in within]


def _tension_n(fit: _Fit) -> float:
    return fit.tension_n


def _thick_to_thin(fits: Iterable[_Fit]) -> list[_Fit]:
    return sorted(fits, key=lambda fit: -fit.wire.gauge_in)


def _to_go(layers: _Layers, join: Callable[[float, float], float]) -> list[list[float]]:
    """Of each fit: the least joined value of any way on from it to the treble, itself included; infinite if none."""
    found: list[list[float]] = [[fit.value for fit in layers[-1]]]
    for layer, thinner in zip(layers[-2::-1], layers[:0:-1], strict=True):
        onward = _least_no_thicker(layer, thinner, found[-1])
        found.append([join(fit.value, least) for fit, least in zip(layer, onward, strict=True)])
    return found[::-1]


def _least_no_thicker(layer: Sequence[_Fit], following: Sequence[_Fit], values: Sequence[float]) -> list[float]:
    """Of each fit of a layer: the least value of those of the next string's fits that are no thicker."""
    least, at, found = inf, len(following), []
    for fit in reversed(layer):
        while at and following[at - 1].wire.gauge_in <= fit.wire.gauge_in:
            at -= 1
            least = min(least, values[at])
        found.append(least)
    return found[::-1]


def _near_best(layers: _Layers, limit: float) -> list[_Fits]:
    """Every set whose value stays within the limit, without those another equals or beats in value, squares and
    weight."""
    ahead: list[tuple[float, list[_Begun]]] = [(inf, [_Begun(0.0, 0.0, 0.0, ())])]
    for layer, to_go in zip(layers, _to_go(layers, add), strict=True):
        grown, pool, at = [], [], 0
        for fit, left in zip(layer, to_go, strict=True):
            while at < len(ahead) and ahead[at][0] >= fit.wire.gauge_in:
                pool = _unbeaten(pool + ahead[at][1])
                at += 1
            grown.append((fit.wire.gauge_in, [begun.grown(fit) for begun in pool if begun.value + left <= limit]))
        ahead = grown
    return [begun.fits for begun in _unbeaten([begun for _, ends in ahead for begun in ends])]


def _unbeaten(begun: list[_Begun]) -> list[_Begun]:
    kept: list[_Begun] = []
    for one in sorted(begun, key=lambda each: each[:3]):
        if not any(other.square <= one.square and other.weight <= one.weight for other in kept):
            kept.append(one)
    return kept


def _first(sets: Sequence[_Fits], measures: Iterable[Callable[[_Fits], float]]) -> _Fits:
    """The set that is least by the first measure, of ties by the next, at last the lightest."""
    for measure in measures:
        values = [measure(fits) for fits in sets]
        limit = min(values) + TIE
        sets = [fits for fits, value in zip(sets, values, strict=True) if value <= limit]
    return min(sets, key=lambda fits: (fsum(fit.wire.unit_weight_lb_in for fit in fits), [fit.wire for fit in fits]))


def _evenness(fits: _Fits) -> float:
    return evenness_pct([fit.tension_n for fit in fits]) / 100


def _unevenness(fits: _Fits) -> float:
    mean_n = fsum(fit.tension_n for fit in fits) / len(fits)
    return fsum((fit.tension_n / mean_n - 1) ** 2 for fit in fits)


def choose_strings_figure(given: Any) -> dict[str, Any]:
    """``{"gauges_in", "tensions_n", "evenness_pct"}`` of the best set, A4 at 440 Hz; one target or one per string.

    Raises Refused with a dotted field for every bad argument.
    """
    several = isinstance(given, dict) and isinstance(given.get("target_n"), list)
    target = ListOf(_TENSION, 1, MOST_STRINGS) if several else _TARGET
    read = read_nested({**CHOOSER_ARGUMENTS, "target_n": target}, given, optional=("target_n",))
    targets_n = _one_per_string(read)
    wires = [Wire(**row) for row in read["catalogue"]]
    chosen = choose(read["scales_mm"], [frequency_hz(pitch) for pitch in read["tuning"]], wires, targets_n)
    return {
        "gauges_in": list(chosen.gauges_in),
        "tensions_n": list(chosen.tensions_n),
        "evenness_pct": chosen.evenness_pct,
    }


def _one_per_string(read: dict[str, Any]) -> list[float] | None:
    """The target of each string, if any. Raises Refused where the lists are not of one length."""
    count, target = len(read["scales_mm"]), read.get("target_n")
    targets_n = target if target is None or isinstance(target, list) else [target] * count
    problems = [
        Problem(key, "count", f"{len(values)} values for {count} scales: give one for each")
        for key, values in (("tuning", read["tuning"]), ("target_n", targets_n))
        if values is not None and len(values) != count
    ]
    if problems:
        raise Refused(problems)
    return targets_n
