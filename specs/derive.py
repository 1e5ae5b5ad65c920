"""The one door into the computing core: a spec document and the tables in, the whole instrument out."""

from __future__ import annotations

from collections.abc import Sequence

from specs.acoustics.pitch import frequency_hz
from specs.acoustics.tension import pull, tension_n
from specs.derived import Board, Derived, Fret, String
from specs.document import BuildSpec
from specs.errors import Problem, Refused
from specs.geometry.fretboard import frets_and_board, mirror, mirrored
from specs.geometry.strings import Layout, layout
from specs.tables import StringCatalogue, Tables, UnitWeight, UnknownString


def derive(spec: BuildSpec, tables: Tables) -> Derived:
    """The computed instrument, mirrored where the spec says left.

    Raises Refused with every string the catalogue cannot weigh and the first thing that cannot be drawn, each at its
    nearest field.
    """
    weights, problems = _weights(spec, tables.strings)
    try:
        plan = layout(spec)
        frets, board = frets_and_board(spec, plan)
    except Refused as undrawable:
        raise Refused((*problems, *undrawable.problems)) from undrawable
    if problems:
        raise Refused(problems)
    return _assembled(spec, plan, weights, frets, board)


def _assembled(
    spec: BuildSpec, plan: Layout, weights: Sequence[UnitWeight], frets: tuple[Fret, ...], board: Board
) -> Derived:
    if spec.hand == "left":
        frets, board = mirrored(frets, board)
    strings = tuple(_string(spec, plan, index, weight) for index, weight in enumerate(weights))
    return Derived(spec, strings, frets, board, pull([string.tension_n for string in strings]))


def _weights(spec: BuildSpec, catalogue: StringCatalogue) -> tuple[list[UnitWeight], list[Problem]]:
    weights, problems = [], []
    weighed = spec.strings.unit_weights_lb_in or (None,) * spec.strings.count
    for index, (gauge_mm, lb_in) in enumerate(zip(spec.strings.gauges_mm, weighed, strict=True)):
        try:
            weights.append(_weight(catalogue, gauge_mm, spec.strings.winding, lb_in))
        except UnknownString as unknown:
            problems.append(Problem(f"strings.gauges.{index}", "unknown-string", str(unknown)))
    return weights, problems


def _weight(catalogue: StringCatalogue, gauge_mm: float, winding: str, weighed_lb_in: float | None) -> UnitWeight:
    return catalogue.unit_weight(gauge_mm, winding) if weighed_lb_in is None else UnitWeight(weighed_lb_in)


def _string(spec: BuildSpec, plan: Layout, index: int, weight: UnitWeight) -> String:
    pitch, scale_mm = spec.strings.tuning[index], plan.scale_mm(index)
    frequency = frequency_hz(pitch, spec.strings.reference_pitch_hz)
    nut, bridge = plan.nut_point(index), plan.bridge_point(index)
    left = spec.hand == "left"
    return String(
        number=spec.strings.count - index,
        pitch=pitch,
        frequency_hz=frequency,
        scale_mm=scale_mm,
        nut=mirror(nut) if left else nut,
        bridge=mirror(bridge) if left else bridge,
        gauge_mm=spec.strings.gauges_mm[index],
        unit_mass_kg_m=weight.kg_m,
        unit_mass_estimated=weight.estimated,
        tension_n=tension_n(weight.kg_m, scale_mm, frequency),
    )
