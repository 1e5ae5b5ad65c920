"""The instrument computed a second time, with 40 digits, by intersecting lines given as pairs of points.

Written from the definitions alone; shares no formula with the program.
"""

from typing import Any

from mpmath import mp, mpf

from specs.document import BuildSpec

mp.dps = 40
SEMITONES = {"C": -9, "D": -7, "E": -5, "F": -4, "G": -2, "A": 0, "B": 2}


def instrument(spec: BuildSpec, unit_weights_lb_in: list[float]) -> dict[str, Any]:
    """The public answer's numbers as 40-digit ones (findings left out); unit weights bass to treble."""
    nuts, bridges = _string_ends(spec)
    frets = [_fret_line(spec, nuts, bridges, n) for n in range(spec.fingerboard.frets + 1)]
    edges = _edges(spec, nuts, frets[-1])
    strings = [_string(spec, i, nuts[i], bridges[i], mpf(unit_weights_lb_in[i])) for i in range(len(nuts))]
    answer_frets = [_fret(spec, n, frets, edges, nuts, bridges) for n in range(len(frets))]
    tensions = [string["tension_n"] for string in strings]
    mean = sum(tensions) / len(tensions)
    answer = {
        "strings": strings,
        "frets": answer_frets,
        "board": _board(spec, frets, edges, answer_frets),
        "tension": {
            "total_n": sum(tensions),
            "mean_n": mean,
            "evenness_pct": (max(tensions) - min(tensions)) / mean * 100,
        },
    }
    return _flipped(answer) if spec.hand == "left" else answer


def _string_ends(spec):
    ys, yb = (_across(spec, end.spread_mm, end.spacing) for end in (spec.nut, spec.bridge))
    scales = (0, spec.scale.bass_mm), (-1, spec.scale.treble_mm)
    runs = [mp.sqrt(mpf(scale) ** 2 - (yb[i] - ys[i]) ** 2) for i, scale in scales]
    share = 1 - mpf(2) ** (-mpf(spec.scale.perpendicular_fret) / 12)
    shift = (runs[1] - runs[0]) * share / 2  # the bass string starts here, the treble one at minus this
    nut = (mp.mpc(shift, ys[0]), mp.mpc(-shift, ys[-1]))
    bridge = (mp.mpc(shift + runs[0], yb[0]), mp.mpc(-shift + runs[1], yb[-1]))
    level = lambda line, y: line[0] + (line[1] - line[0]) * (y - line[0].imag) / (line[1] - line[0]).imag  # noqa: E731
    return [level(nut, y) for y in ys], [level(bridge, y) for y in yb]


def _across(spec, spread, spacing):
    gauges = [mpf(g) for g in spec.strings.gauges_mm]
    n, spread = len(gauges), mpf(spread)
    if spacing == "equal-centres":
        return [-spread / 2 + spread * i / (n - 1) for i in range(n)]
    air = (spread + gauges[0] / 2 + gauges[-1] / 2 - sum(gauges)) / (n - 1)
    left = -spread / 2 - gauges[0] / 2
    centres = []
    for gauge in gauges:
        centres.append(left + gauge / 2)
        left += gauge + air
    return centres


def _fret_line(spec, nuts, bridges, n):
    share = 1 - mpf(2) ** (-mpf(n) / 12)
    return tuple(nuts[i] + (bridges[i] - nuts[i]) * share for i in (0, -1))


def _cross(a, b):
    return a.real * b.imag - a.imag * b.real


def _meet(one, other):
    """Where the line through two points meets the line through two others."""
    along, across = one[1] - one[0], other[1] - other[0]
    return one[0] + along * _cross(other[0] - one[0], across) / _cross(along, across)


def _edges(spec, nuts, last):
    board = spec.fingerboard
    out = [(nut, end) for nut, end in ((nuts[0], last[0]), (nuts[-1], last[1]))]
    return [
        (nut + side * mp.mpc(0, board.edge_margin_nut_mm), end + side * mp.mpc(0, board.edge_margin_end_mm))
        for side, (nut, end) in zip((-1, 1), out, strict=True)
    ]


def _level(y):
    return mp.mpc(0, y), mp.mpc(1, y)


def _upright(x):
    return mp.mpc(x, 0), mp.mpc(x, 1)


def _string(spec, i, nut, bridge, unit_weight):
    pitch = spec.strings.tuning[i]
    steps = SEMITONES[pitch[0]] + {"#": 1, "b": -1}.get(pitch[1], 0) + 12 * (int(pitch[-1]) - 4)
    frequency = mpf(spec.strings.reference_pitch_hz) * mpf(2) ** (mpf(steps) / 12)
    mass = unit_weight * mpf("0.45359237") / mpf("0.0254")
    return {
        "number": len(spec.strings.tuning) - i,
        "pitch": pitch,
        "frequency_hz": frequency,
        "scale_mm": abs(bridge - nut),
        "nut": nut,
        "bridge": bridge,
        "gauge_mm": mpf(spec.strings.gauges_mm[i]),
        "unit_mass_kg_m": mass,
        "tension_n": mass * (2 * abs(bridge - nut) / 1000 * frequency) ** 2,
    }


def _fret(spec, n, frets, edges, nuts, bridges):
    line, board = frets[n], spec.fingerboard
    ends = [_meet(line, edge) for edge in edges]
    direction = line[1] - line[0]
    crossings = [_meet(string, line) for string in zip(nuts, bridges, strict=True)]
    slot = abs(ends[1] - ends[0])
    half = mpf(board.blank_width_mm) / 2
    return {
        "fret": n,
        "angle_deg": mp.degrees(mp.atan2(direction.real, direction.imag)),
        "bass_edge": ends[0],
        "treble_edge": ends[1],
        "slot_mm": slot,
        "wire_mm": slot + 2 * mpf(board.wire_allowance_mm),
        "centre_mm": _meet(line, _level(0)).real,
        "blank_x": [_meet(line, _level(y)).real for y in (-half, half)],
        "from_nut_mm": [abs(c - nut) for c, nut in zip(crossings, nuts, strict=True)],
        "error_cents": [
            1200 * mp.log(abs(bridge - nut) / abs(bridge - c), 2) - 100 * n
            for c, nut, bridge in zip(crossings, nuts, bridges, strict=True)
        ],
    }


def _board(spec, frets, edges, answers):
    last_x = answers[-1]["centre_mm"]
    width = lambda x: _meet(edges[1], _upright(x)).imag - _meet(edges[0], _upright(x)).imag  # noqa: E731
    return {
        "length_mm": last_x + mpf(spec.fingerboard.overhang_mm),
        "width_nut_mm": width(0),
        "width_end_mm": width(last_x),
        "wire_total_mm": sum(fret["wire_mm"] for fret in answers[1:]),
        "worst_cents": max((c for fret in answers[1:] for c in fret["error_cents"]), key=abs),
    }


def _flipped(answer):
    for string in answer["strings"]:
        string["nut"], string["bridge"] = mp.conj(string["nut"]), mp.conj(string["bridge"])
    for fret in answer["frets"]:
        fret["bass_edge"], fret["treble_edge"] = mp.conj(fret["bass_edge"]), mp.conj(fret["treble_edge"])
    return answer


def matches(computed: Any, exact: Any, relative: float = 1e-9, absolute: float = 1e-10) -> bool:
    """Whether a public answer agrees with the 40-digit one, value by value; [x, y] stands for a complex number."""
    if isinstance(exact, dict):
        return all(matches(computed[key], exact[key], relative, absolute) for key in exact)
    if isinstance(exact, list):
        return len(computed) == len(exact) and all(map(matches, computed, exact))
    if isinstance(exact, mp.mpc):
        return matches(computed, [exact.real, exact.imag], relative, absolute)
    if isinstance(exact, str | int):
        return computed == exact
    return abs(mpf(computed) - exact) <= relative * abs(exact) + absolute
