"""The one door into the computing core: a spec document and the tables in, the whole instrument out."""

from __future__ import annotations

from collections.abc import Sequence

from specs.acoustics.pitch import frequency_hz
from specs.acoustics.tension import pull, tension_n
from specs.derived import Derived, Fret, Point, String
from specs.document import BuildSpec
from specs.errors import Problem, Refused
from specs.geometry.fretboard import frets_and_board, mirror, mirrored
from specs.geometry.pickups import pickup_places
from specs.geometry.saddles import Saddle, saddles
from specs.geometry.strings import Layout, layout
from specs.tables import StringCatalogue, Tables, UnitWeight, UnknownString


def derive(spec: BuildSpec, tables: Tables) -> Derived:
    """The computed instrument, mirrored where the spec says left.

    Raises Refused with every string the catalogue cannot weigh and the first thing that cannot be drawn, or with what
    lets a saddle find no place, each at its nearest field.
    """
    weights, problems = _weights(spec, tables.strings)
    try:
        plan = layout(spec)
        frets, board = frets_and_board(spec, plan)
        pickups = pickup_places(spec, plan)
    except Refused as undrawable:
        raise Refused((*problems, *undrawable.problems)) from undrawable
    if problems:
        raise Refused(problems)
    strings = _strings(spec, plan, weights, frets)
    if spec.hand == "left":
        frets, board = mirrored(frets, board)
    return Derived(spec, strings, frets, board, pull([string.tension_n for string in strings]), pickups)


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


def _strings(spec: BuildSpec, plan: Layout, weights: Sequence[UnitWeight], frets: Sequence[Fret]) -> tuple[String, ...]:
    pitches_hz = [frequency_hz(pitch, spec.strings.reference_pitch_hz) for pitch in spec.strings.tuning]
    tensions_n = [
        tension_n(weight.kg_m, plan.scale_mm(index), pitches_hz[index]) for index, weight in enumerate(weights)
    ]
    settings = saddles(spec, plan, tensions_n, frets)
    return tuple(
        _string(spec, plan, index, weights[index], pitches_hz[index], tensions_n[index], setting)
        for index, setting in enumerate(settings)
    )


def _string(
    spec: BuildSpec, plan: Layout, index: int, weight: UnitWeight, pitch_hz: float, pull_n: float, setting: Saddle
) -> String:
    turned = mirror if spec.hand == "left" else _as_it_is
    return String(
        number=spec.strings.count - index,
        pitch=spec.strings.tuning[index],
        frequency_hz=pitch_hz,
        scale_mm=plan.scale_mm(index),
        nut=turned(plan.nut_point(index)),
        bridge=turned(plan.bridge_point(index)),
        gauge_mm=spec.strings.gauges_mm[index],
        unit_mass_kg_m=weight.kg_m,
        unit_mass_estimated=weight.estimated,
        tension_n=pull_n,
        inharmonicity=setting.inharmonicity,
        setback_mm=setting.setback_mm,
        saddle_window_mm=setting.window_mm,
        residual_cents=setting.residual_cents,
        core_estimated=setting.core_estimated,
        setback_range_mm=setting.setback_range_mm,
    )


def _as_it_is(point: Point) -> Point:
    return point
