"""Bought parts: strings, bridge, tuners, screws, rod and bars, pickups, electronics, case."""

from __future__ import annotations

from specs.derived import Derived, Material, String
from specs.document import BuildSpec, Electronics
from specs.materials.consumables import usual

INCH_MM = 25.4
BATTERIES = {"none": 0, "9 V": 1, "18 V": 2}
THROUGH_BODY_MM = 40.0
"""Way from saddle to anchor where the strings pass through the body: 35 to 45 mm more, common practice."""


def strings(derived: Derived) -> list[Material]:
    """Every string by gauge with the winding length it needs in mm; one a line, bass to treble."""
    return [_string(derived, string) for string in derived.strings]


def winding_length_mm(derived: Derived, string: String) -> float:
    """Winding in mm from anchor to past the nut: the string's scale, anchor behind the saddle, 10 mm.

    **Source**: common practice; 34 in needs 904 mm and 37 in 980 mm with an anchor of 30 mm.
    """
    return string.scale_mm + _anchor_mm(derived.spec) + usual("string_past_nut")


def _anchor_mm(spec: BuildSpec) -> float:
    return spec.bridge.anchor_mm + (THROUGH_BODY_MM if spec.bridge.kind == "single units through body" else 0.0)


def _string(derived: Derived, string: String) -> Material:
    length_mm, winding = winding_length_mm(derived, string), derived.spec.strings.winding
    gauge = f"{string.gauge_mm / INCH_MM:.3f}".lstrip("0")
    how = (
        f"string {string.number}, winding at least {length_mm:.0f} mm: scale {string.scale_mm:.1f}, "
        f"anchor {_anchor_mm(derived.spec):g}, {usual('string_past_nut'):g} past the nut"
    )
    return Material("strings", f"{gauge} in {winding}, {string.pitch}", 1, "pieces", how)


def hardware(derived: Derived) -> list[Material]:
    """Bridge, tuners, rod, bars, neck screws, retainers, strap fixings and covers."""
    spec = derived.spec
    return [*_bridge(spec), *_headstock(spec), *_neck_metal(spec), *_body_metal(spec)]


def _bridge(spec: BuildSpec) -> list[Material]:
    single, bridge = spec.bridge.kind != "one-piece plate", spec.bridge
    units = spec.strings.count if single else 1
    screws = units * usual("bridge_screws_each") if single else usual("plate_screws")
    each = f"{usual('bridge_screws_each'):g} a unit" if single else "for the plate"
    item = f"{spec.hardware.bridge_colour} {bridge.metal} bridge, {bridge.kind}"
    return [
        _pieces(item, units, "one a string" if single else "one plate"),
        _pieces("bridge screws 3 × 25 mm", screws, each),
    ]


def _headstock(spec: BuildSpec) -> list[Material]:
    neck, count, hardware = spec.neck, spec.strings.count, spec.hardware
    if neck.headstock == "headless":
        return [_pieces("headless string anchor", 1, "one piece at the nut, with its screws")]
    drop = int(hardware.drop_tuner)
    tuners, how = f"{hardware.colour} {hardware.tuners} tuners", f"one a string, layout {neck.tuner_layout}"
    bought = [_pieces(tuners, count - drop, how)]
    bought += [_pieces(f"{hardware.colour} drop tuner", drop, "lowest string")] if drop else []
    bought.append(_pieces("tuner screws", count, "one a tuner"))
    retainers = (count + 1) // 2
    return bought + ([_pieces("string retainers", retainers, "one for two strings")] if neck.string_retainers else [])


def _neck_metal(spec: BuildSpec) -> list[Material]:
    neck = spec.neck
    bought = [_pieces(f"two-way truss rod {neck.truss_rod_mm:g} mm, {neck.adjuster}", 1, "as ordered")]
    if neck.stiffening_bars:
        bought.append(_pieces(f"carbon bars 3 × 9.5 × {usual('bar_length'):g} mm", 2, "one each side of the rod"))
    return bought + (_neck_screws(spec) if neck.construction == "bolt-on" else [])


def _neck_screws(spec: BuildSpec) -> list[Material]:
    bolts = spec.neck.bolts
    if bolts[0].isdigit():
        return [_pieces("neck screws 5 × 45 mm", int(bolts[0]), bolts)]
    screws = _pieces("neck machine screws M5", usual("machine_screws"), "usual number")
    return [screws, _pieces("threaded inserts M5", screws.quantity, "one a screw")]


def _body_metal(spec: BuildSpec) -> list[Material]:
    straps, colour = spec.hardware.straps, spec.hardware.colour
    bought = [
        _pieces(f"{colour} strap {straps}", 2, "upper horn and tail"),
        _pieces("felt washers", 2, "one a strap fixing"),
        _pieces("control cavity cover, wood 3 mm or plastic 2.5 mm", 1, "one cavity"),
        _pieces("cover screws or magnets", usual("cover_fixings"), "4 to 7 screws or 4 to 6 magnets a cover"),
    ]
    return bought + ([_pieces(spec.hardware.rest, 1, "as ordered")] if spec.hardware.rest != "none" else [])


def pickups(derived: Derived) -> list[Material]:
    """Each pickup by its place, kind and shell."""
    ordered = derived.spec.pickups
    items = [(f"{pickup.name}: {pickup.kind}, {pickup.shell}", len(pickup.rows)) for pickup in ordered]
    bought = [Material("pickups", item, 1, "pieces", f"coil rows: {rows}") for item, rows in items]
    small = (("pickup screws", "pickup_screws"), ("pickup foam pads or springs", "pickup_foam"))
    for item, row in small if ordered else ():
        how = f"{len(ordered)} pickups × {usual(row):g}"
        bought.append(Material("pickups", item, len(ordered) * usual(row), "pieces", how))
    return bought


def electronics(derived: Derived) -> list[Material]:
    """Pots, knobs, capacitor, switches, preamp, batteries and their boxes, jack, wire, solder and shielding."""
    circuit = derived.spec.electronics
    counted = [
        (f"pots {circuit.pot_kohm} kilohm", circuit.shafts, "one a shaft"),
        (f"{derived.spec.hardware.knobs} knobs", circuit.shafts, "one a shaft"),
        ("tone capacitor", int(circuit.passive_tone), "passive tone control"),
        ("switches", switch_count(circuit), "bypass, mid frequency, mute and coils as ordered"),
        (f"preamp, {circuit.circuit}", int(circuit.circuit.startswith("active")), circuit.supply),
        ("9 V alkaline batteries", BATTERIES[circuit.supply], f"supply {circuit.supply}"),
        ("battery boxes with leads", circuit.battery_boxes, "as ordered"),
        (f"{circuit.jack} jack", 1, "one"),
    ]
    bought = [Material("electronics", item, count, "pieces", how) for item, count, how in counted if count]
    return [*bought, *_by_the_metre()]


def _by_the_metre() -> list[Material]:
    return [
        Material("electronics", "hook-up wire", usual("wire_for_harness"), "m", "usual for one harness"),
        Material("electronics", "solder", usual("solder"), "g", "usual for one harness"),
        Material("electronics", "heat shrink", usual("heat_shrink"), "m", "usual for one harness"),
        Material("electronics", "shielding paint", usual("shielding_paint"), "ml", "two coats in every cavity"),
    ]


def switch_count(circuit: Electronics) -> int:
    """How many switches stand beside the shafts."""
    return sum((circuit.bypass, circuit.mid_switch, circuit.mute, circuit.coil_switch != "none"))


def packing(derived: Derived) -> list[Material]:
    """Case, carton, wrapping and humidity pack."""
    case = derived.spec.case
    bought = [Material("packing", f"{case.kind}, {case.inside_length_mm:g} mm inside", 1, "pieces", "as ordered")]
    bought += [Material("packing", "outer carton", 1, "pieces", "as ordered")] if case.double_carton else []
    return [
        *bought,
        Material("packing", "wrapping", usual("wrapping"), "m", "usual for one instrument"),
        Material("packing", "humidity pack", 1, "pieces", "one a case"),
        Material("packing", "tools bag: rod key and saddle key", 1, "pieces", "one a case"),
        *_supports(derived.spec),
        *_extras(derived.spec),
    ]


def _supports(spec: BuildSpec) -> list[Material]:
    under = ["neck support under the nut"] if spec.neck.headstock == "headless" else [
        "headstock support", "neck support under the nut",
    ]  # fmt: skip
    return [Material("packing", item, 1, "pieces", "one a case") for item in under]


def _extras(spec: BuildSpec) -> list[Material]:
    wanted = (
        ("certificate", spec.case.certificate), ("spare string set", spec.case.spare_strings),
        ("spare 9 V battery", spec.case.spare_battery),
    )  # fmt: skip
    return [Material("packing", item, 1, "pieces", "as ordered") for item, ordered in wanted if ordered]


def _pieces(item: str, count: float, how: str) -> Material:
    return Material("hardware", item, count, "pieces", how)
