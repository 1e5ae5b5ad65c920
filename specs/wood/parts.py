"""The finished instrument as parts: what each weighs at least, usually and at most, and where along it it sits.

x runs from the nut toward the bridge. Wood is volume by density, off by 15 % unless its density was measured; bought
parts are weighed by ``data/part_masses.csv``.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from math import fsum
from pathlib import Path

from specs.derived import Derived, Point
from specs.errors import Refused
from specs.geometry.body import KEPT, body_outline, body_size, frame
from specs.geometry.chambers import chambers
from specs.geometry.headstock import post_places, sides
from specs.geometry.polygons import centre
from specs.wood.balance import Balance, Part, balance
from specs.wood.density import SPECIES_SPREAD, density_kg_m3
from specs.wood.faces import seen_wood, top_thickness_mm
from specs.wood.shaft import Wood, board_wood, headstock_wood, neck_wood

DATA = Path(__file__).parent.parent / "data" / "part_masses.csv"
FILM_KG_M2 = {"oil": (0.03, 0.05, 0.08), "film": (0.08, 0.15, 0.25)}
"""What a finish leaves on a square metre of 0.7. **Source**: common practice, 0.04 to 0.15 kg an instrument."""

FINISHED_M2 = 0.7
CONTROLS_AT = (2.05, 0.75, 0.0)
"""Where the controls are, in the body's frame: the lower bout of the treble side. The program's own."""

CAVITY_MM, SHELL_MM, CONTROLS_L, POCKET_MM = 20.0, 38.0, 0.12, 16.0
"""Depth and length of a pickup's cavity, litres of the control cavity, depth of a neck pocket. **Source**: common
practice."""

ROD_KG = (0.09, 0.11, 0.13)
BAR_KG = (0.02, 0.024, 0.03)
WIRE_MM2, NICKEL_SILVER_KG_M3 = 2.9, 8700.0
"""Section of medium wire (common practice) and density of nickel silver, from memory."""

PAST_BRIDGE_MM = 30.0


@dataclass(frozen=True)
class Weighed:
    """One part: kilograms at least, usually and at most, and x of its centre in mm."""

    name: str
    low_kg: float
    usual_kg: float
    high_kg: float
    x_mm: float

    @property
    def usual(self) -> Part:
        """The part at its usual mass."""
        return Part(self.name, self.usual_kg, self.x_mm)


@dataclass(frozen=True)
class Hang:
    """How an instrument hangs: usual balance, its strap buttons, and the range of mass and of the balance point."""

    parts: tuple[Weighed, ...]
    buttons: tuple[Point, Point]
    usual: Balance
    mass_kg: tuple[float, float]
    x_mm: tuple[float, float]
    weighed: tuple[str, ...] = ()
    """Parts whose plank was weighed by hand."""


def hang(derived: Derived, measured_kg_m3: Mapping[str, float] | None = None) -> Hang:
    """Mass, balance point and which end drops, with the range its parts leave open.

    ``measured_kg_m3`` gives the density of planks weighed by hand: of ``body``, ``top``, ``neck`` or ``fingerboard``.
    Raises Refused where the body or the headstock cannot be drawn. **Source**: centre of mass.
    """
    return _hung(derived, tuple(sorted((measured_kg_m3 or {}).items())))


@lru_cache(maxsize=KEPT)
def _hung(derived: Derived, measured_kg_m3: tuple[tuple[str, float], ...]) -> Hang:
    parts, buttons = weighed_parts(derived, dict(measured_kg_m3)), strap_buttons(derived)
    usual = balance((part.usual for part in parts), buttons[0][0], buttons[1][0])
    total = fsum(part.low_kg for part in parts), fsum(part.high_kg for part in parts)
    weighed = tuple(part for part, _ in measured_kg_m3)
    return Hang(parts, buttons, usual, total, balance_range_mm(parts), weighed)


def balance_range_mm(parts: Sequence[Weighed]) -> tuple[float, float]:
    """The balance point nearest the nut and nearest the bridge that the parts' masses allow, in mm; exact.

    At either extreme every part on one side of the point weighs most and every part on the other least.
    """
    ordered = sorted(parts, key=lambda part: part.x_mm)
    cuts = range(len(ordered) + 1)
    toward_nut = (_centre([*_at(ordered[:cut], "high_kg"), *_at(ordered[cut:], "low_kg")]) for cut in cuts)
    toward_bridge = (_centre([*_at(ordered[:cut], "low_kg"), *_at(ordered[cut:], "high_kg")]) for cut in cuts)
    return min(toward_nut), max(toward_bridge)


def _at(parts: Sequence[Weighed], mass: str) -> list[tuple[float, float]]:
    return [(getattr(part, mass), part.x_mm) for part in parts]


def _centre(weights: Sequence[tuple[float, float]]) -> float:
    return fsum(kg * x for kg, x in weights) / fsum(kg for kg, _ in weights)


def strap_buttons(derived: Derived) -> tuple[Point, Point]:
    """Where the strap is fixed: the tip of the horn nearest the nut, and the tail on the centre line, in mm."""
    outline = body_outline(derived).polygon()
    crossings = (
        x + (u - x) * y / (y - v)
        for (x, y), (u, v) in zip(outline, (*outline[1:], outline[0]), strict=True)
        if y * v <= 0 and y != v
    )
    return min(outline), (max(crossings), 0.0)


def weighed_parts(derived: Derived, measured_kg_m3: Mapping[str, float]) -> tuple[Weighed, ...]:
    """Every part of the finished instrument. Raises Refused where the body or the headstock cannot be drawn."""
    _refuse_posts(derived)
    wood = (_wooden(part, measured_kg_m3) for part in wooden_parts(derived))
    return (*wood, *_in_the_neck(derived), *_at_the_head(derived), *_on_the_body(derived), *_strings(derived))


def _refuse_posts(derived: Derived) -> None:
    headless, layout = derived.spec.neck.headstock == "headless", derived.spec.neck.tuner_layout
    if not headless and sum(sides(layout)) != len(derived.strings):
        raise Refused.one("neck.tuner_layout", "not-one-a-string", "choose a layout with one tuner a string")


@lru_cache(maxsize=KEPT)
def wooden_parts(derived: Derived) -> tuple[Wood, ...]:
    """Body, top, neck, headstock and fingerboard: wood, litres and centre."""
    head = headstock_wood(derived)
    return (*_body_wood(derived), *neck_wood(derived), *([head] if head else []), board_wood(derived))


def _body_wood(derived: Derived) -> Iterator[Wood]:
    body, size = derived.spec.body, body_size(derived)
    top_mm = top_thickness_mm(derived.spec)
    outline_x = centre(body_outline(derived).polygon())[0]
    top_l = size.area_mm2 * top_mm / 1e6
    hollow = [(chamber.volume_l, centre(chamber.curve.polygon())[0]) for chamber in chambers(derived)]
    taken = [*hollow, *_cavities(derived), *_through(derived)]
    left_l = size.volume_l - top_l - fsum(litres for litres, _ in taken)
    moment = (size.volume_l - top_l) * outline_x - fsum(litres * x for litres, x in taken)
    if left_l > 0:
        yield Wood("body", "body", body.wood, left_l, moment / left_l)
    if top_mm:
        yield Wood("top", "top", seen_wood(derived.spec), top_l, outline_x)


def _cavities(derived: Derived) -> Iterator[tuple[float, float]]:
    """Litres and centre of what is cut out for pickups, controls and a bolted neck."""
    spread_mm = derived.spec.bridge.spread_mm
    for x in _pickup_places(derived):
        yield SHELL_MM * (spread_mm + 25) * CAVITY_MM / 1e6, x
    yield CONTROLS_L, _controls_x(derived)
    if derived.spec.neck.construction == "bolt-on":
        pocket_mm = derived.spec.neck.pocket_mm
        litres = pocket_mm * derived.board.width_end_mm * POCKET_MM / 1e6
        yield litres, derived.board.length_mm - pocket_mm / 2


def _through(derived: Derived) -> Iterator[tuple[float, float]]:
    """Litres and centre of a neck-through's core inside the body, which are neck wood."""
    for part in neck_wood(derived):
        if part.name == "core":
            yield part.litres, part.x_mm


def _pickup_places(derived: Derived) -> list[float]:
    first, last = derived.strings[0].bridge, derived.strings[-1].bridge
    bridge_x = (first[0] + last[0]) / 2
    return [bridge_x - place.centre_mm for place in derived.pickups]


def _controls_x(derived: Derived) -> float:
    return frame(derived).at(CONTROLS_AT)[0]


def _wooden(part: Wood, measured_kg_m3: Mapping[str, float]) -> Weighed:
    measured = measured_kg_m3.get(part.plank)
    usual = part.litres * (density_kg_m3(part.wood) if measured is None else measured) / 1000
    spread = SPECIES_SPREAD if measured is None else 0.0
    return Weighed(f"{part.name}, {part.wood}", usual * (1 - spread), usual, usual * (1 + spread), part.x_mm)


@cache
def masses_kg() -> dict[str, tuple[float, float, float]]:
    """Low, usual and high kilograms of every bought part. **Source**: each row of ``data/part_masses.csv``."""
    with DATA.open(encoding="utf-8", newline="") as rows:
        return {
            row["name"]: (float(row["low_g"]) / 1000, float(row["usual_g"]) / 1000, float(row["high_g"]) / 1000)
            for row in csv.DictReader(rows)
        }


def _bought(name: str, row: str, x_mm: float, count: int = 1) -> Weighed:
    low, usual, high = masses_kg()[row]
    return Weighed(name, count * low, count * usual, count * high, x_mm)


def _in_the_neck(derived: Derived) -> Iterator[Weighed]:
    neck, middle = derived.spec.neck, derived.board.length_mm / 2
    yield Weighed("truss rod", *ROD_KG, min(neck.truss_rod_mm / 2 + 5, middle))
    if neck.stiffening_bars:
        yield Weighed("stiffening bars", *(2 * kg for kg in BAR_KG), middle)
    if derived.spec.fingerboard.frets_kind == "fretted":
        wire_kg = derived.board.wire_total_mm * WIRE_MM2 / 1e9 * NICKEL_SILVER_KG_M3
        yield Weighed("fret wire", 0.8 * wire_kg, wire_kg, 1.3 * wire_kg, _wire_x(derived))
    if neck.construction == "bolt-on":
        count = int(neck.bolts[0]) if neck.bolts[0].isdigit() else 5
        yield _bought("neck screws", "neck screw", derived.board.length_mm - neck.pocket_mm / 2, count)


def _wire_x(derived: Derived) -> float:
    frets = derived.frets[1:]
    return fsum(fret.wire_mm * fret.centre_mm for fret in frets) / fsum(fret.wire_mm for fret in frets)


def _at_the_head(derived: Derived) -> Iterator[Weighed]:
    yield _bought("nut", "nut", 0.0)
    posts = post_places(derived)
    if not posts:
        yield _bought("string anchor", "headless anchor", -10.0)
        return
    middle = fsum(post.centre[0] for post in posts) / len(posts)
    yield _bought("tuners", f"{derived.spec.hardware.tuners} tuner", middle, len(posts))


def _on_the_body(derived: Derived) -> Iterator[Weighed]:
    spec = derived.spec
    yield _bridge(derived)
    for pickup, x in zip(spec.pickups, _pickup_places(derived), strict=True):
        yield _bought(f"pickup, {pickup.name}", pickup.kind, x)
    yield from _electronics(derived)
    horn, tail = strap_buttons(derived)
    yield _bought("strap fixing, horn", "strap fixing", horn[0])
    yield _bought("strap fixing, tail", "strap fixing", tail[0])
    film = FILM_KG_M2["oil" if spec.finish.kind == "oil" else "film"]
    low, usual, high = (FINISHED_M2 * kg for kg in film)
    yield Weighed("finish", low, usual, high, centre(body_outline(derived).polygon())[0])


def _bridge(derived: Derived) -> Weighed:
    bridge, strings = derived.spec.bridge, derived.strings
    middle = fsum(string.bridge[0] for string in strings) / len(strings) + bridge.anchor_mm / 2
    if bridge.kind == "one-piece plate":
        return _bought("bridge", f"{bridge.metal} plate", middle)
    unit = "headless" if bridge.kind == "headless single units" else "single"
    return _bought("bridge units", f"{bridge.metal} {unit} unit", middle, len(strings))


def _electronics(derived: Derived) -> Iterator[Weighed]:
    circuit, x = derived.spec.electronics, _controls_x(derived)
    switches = sum((circuit.bypass, circuit.mid_switch, circuit.mute, circuit.coil_switch != "none"))
    batteries = {"none": 0, "9 V": 1, "18 V": 2}[circuit.supply]
    counted = (
        ("control", circuit.shafts), ("switch", switches), ("preamp", int(circuit.circuit.startswith("active"))),
        ("battery and lead", batteries), ("battery box", circuit.battery_boxes), ("jack wire and cover", 1),
    )  # fmt: skip
    yield from (_bought(f"electronics: {row}", row, x, count) for row, count in counted if count)


def _strings(derived: Derived) -> Iterator[Weighed]:
    for string in derived.strings:
        length_m = (string.scale_mm + derived.spec.bridge.anchor_mm + PAST_BRIDGE_MM) / 1000
        kg = string.unit_mass_kg_m * length_m
        yield Weighed(f"string {string.number}", 0.98 * kg, kg, 1.1 * kg, (string.nut[0] + string.bridge[0]) / 2)
