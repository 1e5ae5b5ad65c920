"""How the order form is laid out: its zones, the fields seldom touched, and a zone's choices in one line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from django.utils.functional import Promise
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

ZONES: tuple[tuple[str, Promise, tuple[str, ...]], ...] = (
    ("scale", _("Scale and strings"), ("hand", "scale", "strings", "nut", "bridge", "action")),
    ("neck", _("Neck and board"), ("fingerboard", "neck")),
    ("body", _("Body and wood"), ("body",)),
    ("finish", _("Finish"), ("finish",)),
    ("sound", _("Pickups and electronics"), ("pickups", "electronics")),
    ("rest", _("Hardware, setup and case"), ("hardware", "setup", "case", "remarks")),
)

RARE = frozenset(
    {
        "strings.cores", "strings.unit_weights", "strings.reference_pitch_hz", "strings.winding_length",
        "nut.kind", "nut.forward", "nut.material", "bridge.metal", "bridge.anchor", "bridge.height_travel",
        "bridge.piezo", "bridge.front_screw", "bridge.rear_screw",
        "action.h_nut", "action.h_saddle",
        "fingerboard.edge_margin_nut", "fingerboard.edge_margin_end", "fingerboard.overhang",
        "fingerboard.blank_width", "fingerboard.wire_allowance", "fingerboard.thickness", "fingerboard.glue",
        "fingerboard.inlay_material", "fingerboard.luminous_side_dots", "fingerboard.binding", "fingerboard.finish",
        "neck.ears", "neck.headplate", "neck.stiffening_bars", "neck.pieces", "neck.grain", "neck.headstock_angle_deg",
        "neck.string_retainers", "neck.tuner_pitch", "neck.tuner_outward", "neck.truss_rod", "neck.adjuster",
        "neck.rod_shelf", "neck.bolts", "neck.bolt_rows", "neck.pocket", "neck.glue",
        "body.pieces", "body.top_thickness", "body.accent", "body.width", "body.edge", "body.edge_radius",
        "body.carve_depth", "body.heel",
        "finish.burst_tones", "finish.dye", "finish.sealer", "finish.headstock_face",
        "electronics.mid_switch", "electronics.mute", "electronics.coil_switch", "electronics.long_shafts",
        "electronics.face_at_controls", "electronics.pot_kohm", "electronics.jack", "electronics.control_order",
        "electronics.battery_boxes", "electronics.battery_place",
        "hardware.wide_tuner_slot", "hardware.drop_tuner", "hardware.bridge_colour", "hardware.knobs",
        "hardware.straps", "hardware.rest",
        "case.inside_length", "case.double_carton", "case.certificate", "case.spare_strings", "case.spare_battery",
        "case.monogram", "case.engraving",
    }
)  # fmt: skip
"""Fields most orders leave as the pattern has them. **Source**: common practice, no source."""


class Phrase(NamedTuple):
    """How one choice is said in a zone's line; ``unsaid`` are the choices that go without saying."""

    path: str
    said: str | Promise = "{}"
    unsaid: tuple[str, ...] = ("none",)


PHRASES: Mapping[str, tuple[Phrase, ...]] = {
    "scale": (
        Phrase("hand", _("{}-handed")), Phrase("strings.count", _("{} strings")), Phrase("scale.bass", _("bass {}")),
        Phrase("scale.treble", _("treble {}")), Phrase("scale.perpendicular_fret", _("square at fret {}")),
    ),
    "neck": (
        Phrase("neck.construction"), Phrase("neck.wood"), Phrase("neck.headstock"),
        Phrase("fingerboard.frets", _("{} frets")), Phrase("fingerboard.wood"),
    ),
    "body": (
        Phrase("body.wood"), Phrase("body.chambering"), Phrase("body.top", _("{} top")), Phrase("body.top_wood"),
        Phrase("body.thickness", _("{} thick")),
    ),
    "finish": (
        Phrase("finish.kind"), Phrase("finish.sheen"), Phrase("finish.colour"),
        Phrase("finish.shade", unsaid=("none", "wood")),
    ),
    "sound": (
        Phrase("pickups", _("pickups: {}")), Phrase("electronics.circuit"),
        Phrase("electronics.shafts", _("controls: {}")), Phrase("electronics.supply"),
    ),
    "rest": (
        Phrase("hardware.tuners", _("{} tuners")), Phrase("hardware.colour"), Phrase("setup.taste", _("{} action")),
        Phrase("case.kind"),
    ),
}  # fmt: skip


def in_one_line(zone: str, fields: Mapping[str, str]) -> str:
    """What is chosen in a zone now, in plain words: bolt-on, hard maple, 24 frets, Indian rosewood."""
    return ", ".join(_said(PHRASES[zone], fields))


def _said(phrases: tuple[Phrase, ...], fields: Mapping[str, str]) -> Iterator[str]:
    for phrase in phrases:
        typed = fields.get(phrase.path, "")
        if typed and typed not in phrase.unsaid:
            yield str(phrase.said).format(gettext(typed))
