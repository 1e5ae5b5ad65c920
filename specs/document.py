"""The spec document: everything a customer can order of one instrument, declared once.

Attribute names end in their unit; the document's key is the attribute without ``_mm`` unless said.
Fixed keys and their ranges follow the public format, version 1; the other choices stand beside them, each with a
default, so that a document holding only the required keys is complete.
"""

# section() returns a dataclass field, which Ruff cannot know:
# ruff: noqa: RUF009

from __future__ import annotations

from dataclasses import dataclass

from specs import vocabulary as v
from specs.fields import ByStrings, Choice, Flag, Length, ListOf, Number, PerString, Pitch, Text, Whole, section, value

FORMAT = 1
FEWEST_STRINGS, MOST_STRINGS = 3, 12


@dataclass(frozen=True)
class Strings:
    """The set, bass to treble."""

    tuning: tuple[str, ...] = value(ListOf(Pitch(), FEWEST_STRINGS, MOST_STRINGS), "Tuning")
    gauges_mm: tuple[float, ...] = value(PerString(Length(0.1, 6)), "Gauges")
    winding: str = value(Choice(v.WINDINGS), "Winding")
    cores_mm: tuple[float | None, ...] | None = value(
        PerString(Length(0.1, 6), or_null="from the catalogue", holes=True), "Core diameters", None
    )
    unit_weights_lb_in: tuple[float | None, ...] | None = value(
        PerString(Number(1e-7, 0.1, "lb/in"), or_null="from the catalogue", holes=True),
        "Weighed strings", None, key="unit_weights",
    )  # fmt: skip
    reference_pitch_hz: float = value(Number(380, 500, "Hz"), "Reference pitch", 440)
    winding_length_mm: float | None = value(
        Length(700, 1300, or_null="bought to the length needed"), "Winding length", None,
        help="wound length of the shortest string of the set, from the packet",
    )  # fmt: skip

    @property
    def count(self) -> int:
        """How many strings."""
        return len(self.tuning)


@dataclass(frozen=True)
class Scale:
    """The scale pair and the fret that stands square to the centre line."""

    bass_mm: float = value(Length(400, 1200), "Bass scale")
    treble_mm: float = value(Length(400, 1200), "Treble scale")
    perpendicular_fret: float = value(Number(0, 36), "Perpendicular fret", help="0 is the nut; 7.5 lies between frets")


@dataclass(frozen=True)
class Nut:
    spread_mm: float = value(Length(10, 150), "Spread at nut", help="outer string centres, square to centre line")
    spacing: str = value(Choice(v.SPACINGS), "Spacing at nut")
    kind: str = value(Choice(v.NUT_KINDS), "Nut kind", "cut")
    forward_mm: float = value(Length(0, 50), "Nut moved forward", 0.0)
    material: str = value(Choice(v.NUT_MATERIALS), "Nut material", "bone")


@dataclass(frozen=True)
class Bridge:
    spread_mm: float = value(Length(10, 150), "Spread at bridge", help="outer string centres, square to centre line")
    spacing: str = value(Choice(v.SPACINGS), "Spacing at bridge")
    kind: str = value(Choice(v.BRIDGE_KINDS), "Bridge", "single units")
    metal: str = value(Choice(v.BRIDGE_METALS), "Bridge metal", "brass")
    anchor_mm: float = value(Length(0, 100), "Anchor behind saddle", 30.0)
    front_screw_mm: float | None = value(
        Length(0, 100, or_null="not measured yet"), "Front screw behind the saddle line", None,
        help="from the unit in hand, along its string",
    )  # fmt: skip
    rear_screw_mm: float | None = value(
        Length(0, 100, or_null="not measured yet"), "Rear screw behind the saddle line", None
    )
    height_travel: bool = value(Flag(), "Saddle height travel", True)
    piezo: bool = value(Flag(), "Piezo saddles", False)


@dataclass(frozen=True)
class Fingerboard:
    frets: int = value(Whole(1, 36), "Frets")
    edge_margin_nut_mm: float = value(Length(0, 50), "Edge margin at nut")
    edge_margin_end_mm: float = value(Length(0, 50), "Edge margin at last fret")
    overhang_mm: float = value(Length(0, 50), "Board past the last fret", 8.0)
    blank_width_mm: float = value(Length(10, 1000), "Blank width", 100.0)
    radius_nut_mm: float | None = value(Length(100, 2000, or_null="flat"), "Radius at nut", None)
    radius_end_mm: float | None = value(Length(100, 2000, or_null="flat"), "Radius at last fret", None)
    wire_allowance_mm: float = value(Length(0, 50), "Wire allowance each side", 2.5)
    frets_kind: str = value(Choice(v.FRETS_KINDS), "Fretted or fretless", "fretted")
    wood: str = value(Choice(v.BOARD_WOODS), "Board wood", "Indian rosewood")
    thickness_mm: float = value(Length(3, 12), "Board thickness", 6.5)
    binding: str = value(Choice(v.BINDINGS), "Binding", "none")
    inlay: str = value(Choice(v.INLAYS), "Inlay", "none")
    inlay_material: str = value(Choice(v.INLAY_MATERIALS), "Inlay material", "plastic")
    luminous_side_dots: bool = value(Flag(), "Luminous side dots", False)
    finish: str = value(Choice(v.BOARD_FINISHES), "Board finish", "bare")
    wire_size: str = value(Choice(v.WIRE_SIZES), "Fret wire size", "medium")
    wire_metal: str = value(Choice(v.WIRE_METALS), "Fret wire metal", "nickel silver")
    glue: str = value(Choice(v.GLUES), "Board glue", "PVA")


@dataclass(frozen=True)
class Row:
    """One coil row; ``strings`` are trade numbers (1 is the highest)."""

    strings: tuple[int, ...] = value(ListOf(Whole(1, 12), 1, 12), "Strings sensed")
    offset_mm: float = value(Length(-60, 60, signed=True), "Offset toward the bridge", 0.0)


@dataclass(frozen=True)
class Pickup:
    name: str = value(Text(40, shortest=1), "Pickup")
    rows: tuple[Row, ...] = value(ListOf(Row, 1, 12), "Coil rows")
    fraction: float = value(Number(0, 1, open_ends=True), "Fraction from the bridge")
    angle: float | str = value(Number(-80, 80, "°", words=("aligned", "best")), "Angle")
    kind: str = value(Choice(v.PICKUP_KINDS), "Pickup kind", "dual coil")
    shell: str = value(Choice(v.PICKUP_SHELLS), "Shell", "fits the strings")
    active: bool = value(Flag(), "Active pickup", False)


@dataclass(frozen=True)
class Action:
    """String heights over the fret plane at nut and saddle."""

    h_nut_mm: float = value(Length(0, 20), "Height at nut", 0.3)
    h_saddle_mm: tuple[float, ...] = value(PerString(Length(0, 20), or_one=True), "Height at saddle", 3.2)


@dataclass(frozen=True)
class Neck:
    construction: str = value(Choice(v.CONSTRUCTIONS), "Construction", "bolt-on")
    headstock: str = value(Choice(v.HEADSTOCKS), "Headstock", "angled")
    ears: bool = value(Flag(), "Headstock ears", False)
    headplate: bool = value(Flag(), "Headplate", False)
    stiffening_bars: bool = value(Flag(), "Stiffening bars", True)
    finish: str = value(Choice(v.NECK_FINISHES), "Neck finish", "oil")
    wood: str = value(Choice(v.NECK_WOODS), "Neck wood", "hard maple")
    pieces: int = value(Whole(1, 11), "Neck pieces", 5)
    grain: str = value(Choice(v.GRAINS), "Grain of the neck", "quarter-sawn")
    profile: str = value(Choice(v.PROFILES), "Neck profile", "C")
    depth_fret_1_mm: float = value(Length(15, 30), "Depth at fret 1", ByStrings({4: 21.0, 5: 21.0, 6: 20.5}))
    depth_fret_12_mm: float = value(Length(15, 35), "Depth at fret 12", 23.0)
    tuner_layout: str = value(
        Choice(v.TUNER_LAYOUTS), "Tuners on the headstock", ByStrings({4: "2+2", 5: "3+2", 6: "3+3"}),
        help="bass side + treble side; a headless neck has them at the bridge",
    )  # fmt: skip
    headstock_angle_deg: float = value(Number(0, 20, "°"), "Headstock angle", 10.0)
    string_retainers: bool = value(Flag(), "String retainers", False)
    tuner_pitch_mm: float = value(Length(15, 80), "Tuner post to post", 44.0)
    tuner_outward_mm: float = value(
        Length(0, 40), "Tuner posts moved outward", 0.0, help="0: every string runs on straight past the nut"
    )
    truss_rod_mm: float = value(Length(300, 700), "Truss rod length", 610.0)
    adjuster: str = value(Choice(v.ADJUSTERS), "Rod adjuster", "body-end wheel")
    rod_shelf_mm: float = value(
        Length(0, 40), "Nut to rod pocket", 8.0, help="wood between nut and pocket of a headstock adjuster"
    )
    bolts: str = value(Choice(v.BOLTS), "Neck screws", "inserts with machine screws")
    bolt_rows_mm: float = value(Length(10, 80), "Between the rows of neck screws", 38.0)
    pocket_mm: float = value(Length(50, 150), "Neck pocket length", 90.0)
    glue: str = value(Choice(v.GLUES), "Neck glue", "PVA")


@dataclass(frozen=True)
class Body:
    wood: str = value(Choice(v.BODY_WOODS), "Body wood", "alder")
    shape: str = value(Choice(v.BODY_SHAPES), "Body shape", "slanted tail")
    pieces: int = value(Whole(1, 3), "Body pieces", 2)
    chambering: str = value(Choice(v.CHAMBERINGS), "Chambering", "solid")
    top: str = value(Choice(v.TOPS), "Top", "none")
    top_wood: str = value(Choice(v.TOP_WOODS), "Top wood", "none")
    top_thickness_mm: float | None = value(Length(0.3, 25, or_null="usual for the top"), "Top thickness", None)
    accent: str = value(Choice(v.ACCENTS), "Accent veneer", "none")
    thickness_mm: float = value(Length(25, 60), "Body thickness", 42.0)
    width_mm: float = value(Length(250, 450), "Body width", 345.0)
    edge: str = value(Choice(v.EDGES), "Edge", "round-over")
    edge_radius_mm: float = value(Length(0, 15), "Edge radius", 6.0)
    forearm: str = value(Choice(v.FOREARMS), "Forearm carve", "carved")
    belly: bool = value(Flag(), "Belly carve", True)
    heel: bool = value(Flag(), "Heel access carve", True)
    carve_depth_mm: float = value(Length(0, 20), "Top carve depth", 0.0)
    weight_ceiling_kg: float | None = value(Number(1, 10, "kg", or_null="none"), "Weight ceiling", None)


@dataclass(frozen=True)
class Finish:
    kind: str = value(Choice(v.FINISH_KINDS), "Finish", "oil")
    sheen: str = value(Choice(v.SHEENS), "Sheen", "satin")
    colour: str = value(Choice(v.COLOURS), "Colour", "natural")
    shade: str = value(Choice(v.SHADES), "Shade", "wood")
    burst_tones: int = value(Whole(2, 3), "Tones of a burst", 2)
    pores: str = value(Choice(v.PORES), "Pores", "open")
    dye: str = value(Choice(v.DYES), "Dye", "water dye")
    sealer: str = value(Choice(v.SEALERS), "Sealer", "usual for the finish")
    headstock_face: str = value(Choice(v.HEADSTOCK_FACES), "Headstock face", "natural")


@dataclass(frozen=True)
class Electronics:
    circuit: str = value(Choice(v.CIRCUITS), "Circuit", "passive volume and tone")
    supply: str = value(Choice(v.SUPPLIES), "Battery supply", "none")
    battery_boxes: int = value(Whole(0, 2), "Battery boxes", 0)
    battery_place: str = value(Choice(v.BATTERY_PLACES), "Place of the battery box", "beside the controls")
    bypass: bool = value(Flag(), "Active and passive switch", False)
    passive_tone: bool = value(Flag(), "Passive tone control", True)
    mid_switch: bool = value(Flag(), "Mid-frequency switch", False)
    mute: bool = value(Flag(), "Mute switch", False)
    coil_switch: str = value(Choice(v.COIL_SWITCHES), "Coil switch", "none")
    shafts: int = value(Whole(1, 8), "Control shafts", 3)
    long_shafts: bool = value(Flag(), "Long pot shafts", False)
    face_at_controls_mm: float = value(Length(2, 20), "Face left at the control cavity", 5.0)
    blend: bool = value(Flag(), "Blend control", False)
    pot_kohm: int = value(Whole(10, 1000), "Pot value, kilohm", 500)
    jack: str = value(Choice(v.JACKS), "Jack", "mono")
    control_order: str = value(Text(120), "Order of the controls", "", help="named from the jack to the bridge")


@dataclass(frozen=True)
class Hardware:
    tuners: str = value(Choice(v.TUNERS), "Tuners", "ultralight")
    wide_tuner_slot: bool = value(Flag(), "Wide slot on the lowest tuner", False)
    drop_tuner: bool = value(Flag(), "Drop tuner on the lowest string", False)
    colour: str = value(Choice(v.METAL_COLOURS), "Metal colour", "chrome")
    bridge_colour: str = value(Choice(v.METAL_COLOURS), "Bridge colour", "chrome")
    knobs: str = value(Choice(v.KNOBS), "Knobs", "metal")
    straps: str = value(Choice(v.STRAPS), "Strap fixing", "buttons")
    rest: str = value(Choice(v.RESTS), "Ramp or thumb rest", "none")


@dataclass(frozen=True)
class Setup:
    taste: str = value(Choice(v.TASTES), "Action taste", "medium")
    attack: str = value(Choice(v.ATTACKS), "Attack", "medium")
    playing: str = value(Choice(v.PLAYING), "Played with", "fingers")


@dataclass(frozen=True)
class Case:
    kind: str = value(Choice(v.CASES), "Case", "hard case")
    inside_length_mm: float = value(Length(900, 1600), "Case inside length", 1300.0)
    double_carton: bool = value(Flag(), "Outer carton", True)
    certificate: bool = value(Flag(), "Certificate", True)
    spare_strings: bool = value(Flag(), "Spare strings", False)
    spare_battery: bool = value(Flag(), "Spare battery", False)
    monogram: str = value(Choice(v.MONOGRAMS), "Monogram", "none")
    engraving: str = value(Text(80), "Engraving", "")


@dataclass(frozen=True)
class BuildSpec:
    """One instrument as ordered; lengths in mm, everything else as its label says."""

    format: int = value(Whole(FORMAT, FORMAT), "Format")
    hand: str = value(Choice(v.HANDS), "Hand")
    strings: Strings = section(Strings, "Strings", required=True)
    scale: Scale = section(Scale, "Scale pair", required=True)
    nut: Nut = section(Nut, "Nut", required=True)
    bridge: Bridge = section(Bridge, "Bridge", required=True)
    fingerboard: Fingerboard = section(Fingerboard, "Fingerboard", required=True)
    pickups: tuple[Pickup, ...] = value(ListOf(Pickup, 0, 3), "Pickups", ())
    action: Action = section(Action, "Action")
    neck: Neck = section(Neck, "Neck")
    body: Body = section(Body, "Body")
    finish: Finish = section(Finish, "Finish")
    electronics: Electronics = section(Electronics, "Electronics")
    hardware: Hardware = section(Hardware, "Hardware")
    setup: Setup = section(Setup, "Setup")
    case: Case = section(Case, "Case and papers")
    remarks: str = value(Text(1000), "Remarks", "")
