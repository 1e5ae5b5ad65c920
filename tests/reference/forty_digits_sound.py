"""Setback, window, residuals and pickups a second time, with 40 digits, from the definitions alone.

Lines are pairs of points, the setback is a root found and a best angle a zero of a differentiated cost; no formula is
shared with the program.
"""

from typing import Any

from mpmath import mp, mpf

from specs.document import BuildSpec, Pickup
from tests.reference import forty_digits as plane

mp.dps = 40
YOUNG_PA = mpf(207) * 10**9


def saddle(spec: BuildSpec, weight_lb_in: float, index: int) -> dict[str, Any]:
    """Inharmonicity, setback, window and residuals of the string at that place, bass first."""
    nuts, bridges = plane._string_ends(spec)
    open_string = plane._string(spec, index, nuts[index], bridges[index], mpf(weight_lb_in))
    scale, tension = open_string["scale_mm"], open_string["tension_n"]
    frets = [plane._fret_line(spec, nuts, bridges, n) for n in range(spec.fingerboard.frets + 1)]
    along = [abs(plane._meet((nuts[index], bridges[index]), line) - nuts[index]) for line in frets]
    core = _core_mm(spec, index)
    stiffness = mp.pi**3 * YOUNG_PA * (core / 1000) ** 4 / (64 * tension * (scale / 1000) ** 2)
    sharp = [_sharp(spec, index, n, along[n], scale, tension, core, stiffness) for n in range(len(along))]
    forward = mpf(spec.nut.forward_mm)
    off = lambda n, x: 1200 * mp.log((scale + x - forward) / (scale + x - along[n]), 2) - 100 * n + sharp[n]  # noqa: E731
    octave = min(12, spec.fingerboard.frets)
    setback = mp.findroot(lambda x: off(octave, x), (mpf(0), mpf(1)), solver="secant", tol=mpf(10) ** -60)
    clamp = mp.sqrt(YOUNG_PA * mp.pi * (core / 1000) ** 4 / 64 / tension) * 1000
    return {
        "inharmonicity": stiffness,
        "setback_mm": setback,
        "window_mm": [min(mpf(0), setback) - 1, setback + clamp + 2],
        "residual_cents": [mpf(0), *(off(n, setback) for n in range(1, len(along)))],
    }


def _core_mm(spec, index):
    gauge = mpf(spec.strings.gauges_mm[index])
    if spec.strings.cores_mm and spec.strings.cores_mm[index] is not None:
        return mpf(spec.strings.cores_mm[index])
    return gauge if spec.strings.winding == "plain" else min(gauge, mpf("0.3175") + mpf("0.14") * gauge)


def _sharp(spec, index, n, d, scale, tension, core, stiffness):
    low = mpf(0) if spec.nut.kind == "zero fret" else mpf(spec.action.h_nut_mm)
    high = mpf(spec.action.h_saddle_mm[index])
    longer = mp.sqrt(d**2 + low**2) + mp.sqrt((scale - d) ** 2 + high**2) - mp.sqrt(scale**2 + (high - low) ** 2)
    stretch = YOUNG_PA * mp.pi * (core / 1000) ** 2 / 4 / tension * longer / scale
    stopped = stiffness * mpf(2) ** (mpf(n) / 6)
    return 600 / mp.log(2) * (stretch + mp.log(1 + stopped) - mp.log(1 + stiffness))


def pickup(spec: BuildSpec, housing: Pickup, near: tuple[float, float] = (0.0, 0.0)) -> dict[str, Any]:
    """Angle, centre, fractions, error and span; a best angle is sought from ``near``, centre in mm and degrees."""
    nuts, bridges = plane._string_ends(spec)
    sensing = lambda centre, angle: _sensed(spec, housing, nuts, bridges, centre, angle)  # noqa: E731
    centre, angle = _placed(housing, nuts, bridges, sensing, near)
    points = sensing(centre, angle)
    fractions = [abs(b - p) / abs(b - n) for n, b, p in zip(nuts, bridges, points, strict=True)]
    error = max(fractions) - min(fractions)
    along = mp.mpc(mp.sin(angle), mp.cos(angle))
    apart = points[-1] - points[0]
    return {
        "angle_deg": mp.degrees(angle),
        "centre_mm": centre,
        "fractions": fractions,
        "error_fraction": error,
        "error_mm": error * max(abs(b - n) for n, b in zip(nuts, bridges, strict=True)),
        "needed_span_mm": abs(apart.real * along.real + apart.imag * along.imag) + 4,
    }


def _sensed(spec, housing, nuts, bridges, centre, angle):
    at = plane._meet((bridges[0], bridges[-1]), plane._level(0)) - centre
    along, across = mp.mpc(mp.sin(angle), mp.cos(angle)), mp.mpc(mp.cos(angle), -mp.sin(angle))
    points = []
    for index, string in enumerate(zip(nuts, bridges, strict=True)):
        (row,) = [row for row in housing.rows if len(nuts) - index in row.strings]
        start = at + across * mpf(row.offset_mm)
        points.append(plane._meet(string, (start, start + along)))
    return points


def _placed(housing, nuts, bridges, sensing, near):
    target = mpf(housing.fraction)
    outer = [bridges[i] + (nuts[i] - bridges[i]) * target for i in (0, -1)]
    lean = outer[1] - outer[0]
    aligned = mp.atan2(lean.real, lean.imag)
    if housing.angle == "aligned" and not any(row.offset_mm for row in housing.rows):
        crossing = plane._meet((bridges[0], bridges[-1]), plane._level(0))
        return (crossing - plane._meet(tuple(outer), plane._level(0))).real, aligned

    def cost(centre, angle):
        runs = zip(nuts, bridges, sensing(centre, angle), strict=True)
        return sum(((p - b) / (n - b)).real ** 2 - 2 * target * ((p - b) / (n - b)).real for n, b, p in runs)

    by_centre = lambda c, a: (cost(c + 1, a) - cost(c - 1, a)) / 2  # noqa: E731  (the cost is quadratic in the centre)
    if housing.angle != "best":
        angle = aligned if housing.angle == "aligned" else mp.radians(mpf(housing.angle))
        return mp.findroot(lambda c: by_centre(c, angle), (mpf(50), mpf(60)), tol=mpf(10) ** -60), angle
    by_angle = lambda c, a: mp.diff(lambda turned: cost(c, turned), a, h=mpf(10) ** -12)  # noqa: E731
    start = mpf(near[0]), mp.radians(mpf(near[1]))
    found = mp.findroot(lambda c, a: [by_centre(c, a), by_angle(c, a)], start, tol=mpf(10) ** -40, verify=False)
    return found[0], found[1]
