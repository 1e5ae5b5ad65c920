"""A spec in the plain words of the trade, and a walk over its declarations for a form."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from specs.document import BuildSpec, Pickup
from specs.fields import Declared, ListOf, declared
from specs.units import decimal_inches, inches, millimetres, trimmed

Described = tuple[tuple[str, str], ...]


class Entry(NamedTuple):
    """One value as a form shows it; ``value`` is the default, or REQUIRED, where a class is walked."""

    path: str
    label: str
    kind: Any
    value: Any


def walk(spec_or_class: Any, path: str = "") -> Iterator[Entry]:
    """Every value in document order with its dotted path.

    Of a class, a list of sections (the pickups) is one entry with its default; of a spec, each of its sections is
    walked: ``pickups.0.rows.1.offset``. Lengths are in mm.
    """
    section_class = spec_or_class if isinstance(spec_or_class, type) else type(spec_or_class)
    for item in declared(section_class):
        given = None if isinstance(spec_or_class, type) else getattr(spec_or_class, item.attribute)
        here = f"{path}.{item.key}" if path else item.key
        yield from _class_entries(item, here) if isinstance(spec_or_class, type) else _entries(item, given, here)


def _class_entries(item: Declared, path: str) -> Iterator[Entry]:
    return walk(item.kind, path) if item.is_section else iter([Entry(path, item.label, item.kind, item.default)])


def _entries(item: Declared, given: Any, path: str) -> Iterator[Entry]:
    if item.is_section:
        yield from walk(given, path)
    elif isinstance(item.kind, ListOf) and isinstance(item.kind.of, type):
        for position, section in enumerate(given):
            yield from walk(section, f"{path}.{position}")
    else:
        yield Entry(path, item.label, item.kind, given)


def describe(spec: BuildSpec) -> Described:
    """Headings with a sentence each, in the order a customer reads them; lengths in mm, with inches where usual."""
    return (
        ("Hand", f"{spec.hand.upper()}-HANDED."),
        ("Scale pair", _scale(spec)),
        ("Strings", _strings(spec)),
        ("Nut", _nut(spec)),
        ("Bridge", _bridge(spec)),
        ("Fingerboard", _board(spec)),
        *((f"Pickup: {pickup.name}", _pickup(pickup)) for pickup in spec.pickups),
        ("Neck", _neck(spec)),
        ("Body", _body(spec)),
        ("Finish", _finish(spec)),
        ("Electronics", _electronics(spec)),
        ("Hardware", _hardware(spec)),
        ("Setup", _setup(spec)),
        ("Case and papers", _case(spec)),
        *((("Remarks", spec.remarks.strip()),) if spec.remarks.strip() else ()),
    )


def _sentence(*parts: str) -> str:
    said = ", ".join(part for part in parts if part)
    return said[:1].upper() + said[1:] + "."


def _when(condition: object, words: str) -> str:
    return words if condition else ""


def _many(count: int, one: str, many: str = "") -> str:
    return f"{count} {one}" if count == 1 else f"{count} {many or one + 's'}"


def _scale(spec: BuildSpec) -> str:
    scale, at = spec.scale, spec.scale.perpendicular_fret
    pair = (
        f"{name} {inches(mm)} ({millimetres(mm)})"
        for name, mm in (("bass", scale.bass_mm), ("treble", scale.treble_mm))
    )
    return _sentence(*pair, f"square at fret {trimmed(at)}" if at else "square at the nut")


def _strings(spec: BuildSpec) -> str:
    strings = spec.strings
    numbered = (
        f"{strings.count - at} = {pitch} {decimal_inches(gauge)}"
        for at, (pitch, gauge) in enumerate(zip(strings.tuning, strings.gauges_mm, strict=True))
    )
    pitch = _when(strings.reference_pitch_hz != 440, f"; A4 = {trimmed(strings.reference_pitch_hz)} Hz")
    listed = ", ".join(numbered)
    return f"{strings.count} strings, {strings.winding}, lowest to highest: {listed}{pitch}."


def _nut(spec: BuildSpec) -> str:
    nut = spec.nut
    return _sentence(
        f"zero fret with a {nut.material} nut behind it" if nut.kind == "zero fret" else f"cut {nut.material} nut",
        f"outer strings {millimetres(nut.spread_mm)} apart square to the centre line",
        nut.spacing.replace("-", " "),
        _when(nut.forward_mm, f"moved {millimetres(nut.forward_mm)} toward the bridge"),
    )


def _bridge(spec: BuildSpec) -> str:
    bridge = spec.bridge
    return _sentence(
        f"{bridge.kind} in {bridge.metal}",
        f"outer strings {millimetres(bridge.spread_mm)} apart",
        bridge.spacing.replace("-", " "),
        _when(bridge.piezo, "piezo saddles"),
    )


def _board(spec: BuildSpec) -> str:
    board = spec.fingerboard
    return _sentence(
        f"{board.wood}, {_many(board.frets, 'fret')}" + _when(board.frets_kind != "fretted", f", {board.frets_kind}"),
        _when(board.frets_kind == "fretted", f"{board.wire_size} {board.wire_metal} wire"),
        _radius(board.radius_nut_mm, board.radius_end_mm),
        _inlay(spec),
        _when(board.luminous_side_dots, "luminous side dots"),
        "no binding" if board.binding == "none" else f"{board.binding} binding",
        "left bare" if board.finish == "bare" else f"{board.finish} finish on the board",
    )


def _inlay(spec: BuildSpec) -> str:
    board = spec.fingerboard
    plain = {"none": "no inlay", "side only": "side dots only"}
    return plain.get(board.inlay, f"{board.inlay} inlay in {board.inlay_material}")


def _radius(nut_mm: float | None, end_mm: float | None) -> str:
    if nut_mm == end_mm:
        return "flat" if nut_mm is None else f"radius {inches(nut_mm)}"
    ends = ("flat" if mm is None else inches(mm) for mm in (nut_mm, end_mm))
    return "radius " + " to ".join(ends)


def _pickup(pickup: Pickup) -> str:
    words = {"aligned": "angle aligned with the fan", "best": "angle computed for the evenest tone"}
    angle = words[pickup.angle] if isinstance(pickup.angle, str) else f"angle {trimmed(pickup.angle)}°"
    rows = len(pickup.rows)
    return _sentence(
        f"{pickup.kind} in a shell that fits the strings" if pickup.shell.startswith("fits") else
        f"{pickup.kind} in a {pickup.shell}",
        f"at {trimmed(pickup.fraction, 4)} of each string from the bridge",
        angle,
        _when(rows > 1, _many(rows, "coil row")),
        "active" if pickup.active else "passive",
    )  # fmt: skip


def _neck(spec: BuildSpec) -> str:
    neck = spec.neck
    return _sentence(
        f"{neck.construction} in {neck.wood}, {_many(neck.pieces, 'piece')}, {neck.grain}",
        _when(neck.construction == "bolt-on", neck.bolts),
        f"{neck.profile} profile",
        f"{millimetres(neck.depth_fret_1_mm)} deep at fret 1 and {millimetres(neck.depth_fret_12_mm)} at fret 12",
        _when(neck.stiffening_bars, "stiffening bars"),
        f"rod adjusted at the {neck.adjuster}",
        _headstock(spec),
        f"{neck.finish} finish",
    )


def _headstock(spec: BuildSpec) -> str:
    neck = spec.neck
    if neck.headstock == "headless":
        return "headless, tuners at the bridge"
    angle = _when(neck.headstock == "angled", f" at {trimmed(neck.headstock_angle_deg)}°")
    extras = (("ears", neck.ears), ("headplate", neck.headplate), ("string retainers", neck.string_retainers))
    with_extras = " and ".join(word for word, ordered in extras if ordered)
    return f"{neck.headstock} headstock{angle}, tuners {neck.tuner_layout}" + _when(
        with_extras, f", with {with_extras}"
    )


def _body(spec: BuildSpec) -> str:
    body = spec.body
    edge = f"{body.edge} edge" + _when(body.edge == "round-over", f" {millimetres(body.edge_radius_mm)}")
    carves = [word for word, ordered in (("belly", body.belly), ("heel access", body.heel)) if ordered]
    return _sentence(
        f"{body.wood}, {_many(body.pieces, 'piece')}, {millimetres(body.thickness_mm)} thick, {body.chambering}",
        body.shape,
        _top(spec),
        _when(body.accent != "none", f"{body.accent} between"),
        edge,
        "no forearm carve" if body.forearm == "none" else f"{body.forearm} forearm",
        _when(carves, f"{' and '.join(carves)} carve"),
        _when(body.weight_ceiling_kg, f"finished weight at most {trimmed(body.weight_ceiling_kg or 0)} kg"),
    )


def _top(spec: BuildSpec) -> str:
    body = spec.body
    if body.top == "none":
        return "no top"
    wood = _when(body.top_wood != "none", f" in {body.top_wood}")
    thickness = _when(body.top_thickness_mm, f" {millimetres(body.top_thickness_mm or 0)} thick")
    return f"{body.top} top{wood}{thickness}"


def _finish(spec: BuildSpec) -> str:
    finish = spec.finish
    tones = _when(finish.colour == "burst", f" of {finish.burst_tones} tones")
    shade = _when(finish.shade != "wood", f" {finish.shade}")
    return _sentence(
        f"{finish.kind}, {finish.sheen}, {finish.colour}{shade}{tones}",
        f"pores {finish.pores}",
        _when(finish.colour in ("dyed", "burst"), finish.dye),
        _when(finish.sealer != "usual for the finish", f"{finish.sealer} sealer"),
        f"headstock face {finish.headstock_face}",
    )


def _electronics(spec: BuildSpec) -> str:
    circuit = spec.electronics
    tone = circuit.passive_tone and circuit.circuit.startswith("active")
    switches = (
        ("active and passive switch", circuit.bypass), ("passive tone", tone),
        ("mid-frequency switch", circuit.mid_switch), ("mute switch", circuit.mute), ("blend", circuit.blend),
        (f"coil switch {circuit.coil_switch}", circuit.coil_switch != "none"), ("long shafts", circuit.long_shafts),
    )  # fmt: skip
    supply = f"{circuit.supply} from {_many(circuit.battery_boxes, 'battery box', 'battery boxes')}"
    return _sentence(
        circuit.circuit,
        "no battery" if circuit.supply == "none" else supply,
        *(word for word, ordered in switches if ordered),
        f"{_many(circuit.shafts, 'control')} with {circuit.pot_kohm} kΩ pots",
        _when(circuit.control_order, f"from the jack: {circuit.control_order}"),
        f"{circuit.jack} jack",
    )


def _hardware(spec: BuildSpec) -> str:
    hardware = spec.hardware
    return _sentence(
        f"{hardware.tuners} tuners",
        _when(hardware.wide_tuner_slot, "wide slot on the lowest tuner"),
        _when(hardware.drop_tuner, "drop tuner on the lowest string"),
        f"metal in {hardware.colour}",
        _when(hardware.bridge_colour != hardware.colour, f"bridge in {hardware.bridge_colour}"),
        f"{hardware.knobs} knobs",
        f"strap {hardware.straps}",
        _when(hardware.rest != "none", hardware.rest),
    )


def _setup(spec: BuildSpec) -> str:
    setup, heights = spec.setup, spec.action.h_saddle_mm
    same = len(set(heights)) == 1
    saddles = millimetres(heights[0]) if same else " / ".join(trimmed(mm) for mm in heights) + " mm, lowest to highest"
    return _sentence(
        f"{setup.taste} action", f"{setup.attack} attack", f"played with {setup.playing}",
        f"{millimetres(spec.action.h_nut_mm)} at the nut and {saddles} at the saddle over the fret plane",
    )  # fmt: skip


def _case(spec: BuildSpec) -> str:
    case = spec.case
    return _sentence(
        f"{case.kind} {millimetres(case.inside_length_mm)} long inside",
        _when(case.double_carton, "outer carton"),
        _when(case.certificate, "certificate"),
        _when(case.spare_strings, "spare strings"),
        _when(case.spare_battery, "spare battery"),
        _when(case.monogram != "none", f"monogram on the {case.monogram}"),
        _when(case.engraving.strip(), f"engraved “{case.engraving.strip()}”"),
    )
