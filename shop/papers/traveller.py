"""What the traveller of a build says: everything its pages print, read from the released spec."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.conf import settings
from django.utils.translation import gettext as _

from routing.batches import instruments
from routing.catalogue import LOCAL_RULES_FIRST
from routing.measured import measured_setbacks
from routing.models import Build, Kind, Station
from shop.orders.saddle_rows import saddle_rows
from shop.papers.codes import code_picture, scan_address
from shop.papers.models import Sheet
from shop.papers.steps import steps
from specs.derived import Derived, Material
from specs.describe import describe
from specs.differences import Difference, differences
from specs.drawings.svg import board_drawing, dimensioned_drawing
from specs.geometry.bench import bench_tables
from specs.geometry.crown import SLOT_CLEARANCE_MM, TANG_MM, crown_drop_mm
from specs.materials import materials
from specs.models import Spec
from specs.released import instrument
from specs.units import inches, trimmed

OVERRUN_MM, STOP_SHORT_MM, LEAST_WOOD_MM = 3, 2, 2.5
"""A through slot past the finished edge, a blind one inside it, the wood to keep below. **Source**: common practice."""

DRAWING_PX = 800
"""Drawn so wide and printed 184 mm wide, the 13 px letters of a drawing stand over 8 points high."""

AT_HOME = ("strings", "packing")
"""Groups of the materials list that an instrument from the partner gets at home. **Source**: the trade's table."""

EVERYWHERE = "Stop and ask. Report every near miss."
"""The caution of the stations without one of their own. **Source**: the trade's table gives it to all stations."""


def traveller(sheet: Sheet) -> dict[str, Any]:
    """Everything the template prints; the same for the same sheet whenever it is asked."""
    build, spec = sheet.build, sheet.spec
    derived = instrument(spec)
    findings = spec.answer["findings"]
    return {
        "sheet": sheet,
        "build": build,
        "spec": spec,
        "block": _title_block(sheet, derived),
        "hand": derived.spec.hand,
        "code": code_picture(scan_address(build.serial, spec.revision)),
        "customer": _customer(build),
        "batch": build.batch,
        "is_batch": build.kind == Kind.BATCH,
        "serials": _serials(build),
        "said": describe(derived.spec)[1:],  # the hand stands in every page's head
        "changes": _changes(spec),
        "answered": spec.initialled.order_by("pk"),
        "cautions": cautions(build),
        "local_rules_first": LOCAL_RULES_FIRST,
        "board": board_drawing(derived, width=DRAWING_PX, paper=True),
        "dimensions": dimensioned_drawing(derived, width=DRAWING_PX, paper=True),
        "pull": derived.tension,
        "strings": tuple(reversed(derived.strings)),
        "saddles": saddle_rows(derived, measured_setbacks(derived)),
        "tables": bench_tables(derived).both,
        "fret_facts": _fret_facts(derived),
        "materials": _by_group(line for line in materials(derived) if _is_ours(line, build)),
        "steps": steps(build, findings, sheet.issued_at),
    }


def instrument_title(derived: Derived) -> str:
    """The instrument in a few words: strings and scale pair."""
    scale, count = derived.spec.scale, len(derived.strings)
    title = _("{count}-string bass, {bass} – {treble}")
    return title.format(count=count, bass=inches(scale.bass_mm), treble=inches(scale.treble_mm))


def cautions(build: Build) -> tuple[tuple[str, str], ...]:
    """One line for every hazard of this build with the stations it stands at; stations it never visits are left out."""
    lines: dict[str, list[str]] = {}
    for station in Station.objects.filter(tasks__build=build).distinct().order_by("position"):
        if station.caution and station.caution != EVERYWHERE:
            lines.setdefault(station.caution, []).append(_(station.name))
    own = tuple((", ".join(names), caution) for caution, names in lines.items())
    return (*own, (_("All stations"), EVERYWHERE))


def _by_group(lines: Iterable[Material]) -> tuple[tuple[str, list[Material]], ...]:
    """The lines under their groups, groups in the order they first come."""
    groups: dict[str, list[Material]] = {}
    for line in lines:
        groups.setdefault(line.group, []).append(line)
    return tuple(groups.items())


def _title_block(sheet: Sheet, derived: Derived) -> dict[str, Any]:
    first = sheet.spec.sheets.select_related("job__asked_by").order_by("pk").first()
    approved = first.job.asked_by if first and first.job else None
    return {
        "owner": settings.OWNER,
        "title": instrument_title(derived),
        "identification": sheet.build.serial,
        "revision": sheet.spec.revision,
        "issued": sheet.issued_at,
        "creator": sheet.spec.made_by,
        "approved": approved or sheet.spec.made_by,
    }


def _changes(spec: Spec) -> tuple[Difference, ...]:
    """What differs from the revision before; nothing in a first revision."""
    before = spec.previous
    return differences(before.document, spec.document) if before and before.document else ()


def _customer(build: Build) -> str:
    order = getattr(build, "order", None)
    return order.customer.name if order and order.customer else ""


def _serials(build: Build) -> tuple[tuple[str, str], ...]:
    """The serials of a batch by hand; none on an instrument's sheet."""
    if build.kind != Kind.BATCH:
        return ()
    batch, found = build.batch, instruments(build.batch)
    left = [one.serial for one in found if one.spec_id == batch.left_spec_id or one.spec.document["hand"] == "left"]
    right = [one.serial for one in found if one.serial not in left]
    said = ((_("RIGHT-HANDED"), right), (_("LEFT-HANDED"), left))
    return tuple((label, ", ".join(serials)) for label, serials in said if serials)


def _is_ours(line: Material, build: Build) -> bool:
    """Of an instrument a partner built only what it gets at home is picked."""
    return build.batch_id is None or build.kind == Kind.BATCH or line.group in AT_HOME


def _fret_facts(derived: Derived) -> dict[str, Any]:
    """What stands around the fret table: the scribed lines, slot depth in two modes, wire."""
    board = derived.spec.fingerboard
    cut = [fret for fret in derived.frets if fret.fret]
    drops = [crown_drop_mm(fret.bend_radius_mm, fret.slot_mm) for fret in cut]
    tang_mm = TANG_MM[board.wire_size]
    return {
        "kind": board.frets_kind,
        "zero_fret": derived.spec.nut.kind == "zero fret",
        "blank_half": trimmed(board.blank_width_mm / 2),
        "tang": tang_mm,
        "clearance": SLOT_CLEARANCE_MM,
        "depth": tang_mm + SLOT_CLEARANCE_MM,
        "least_drop": min(drops),
        "most_drop": max(drops),
        "overrun": OVERRUN_MM,
        "short": STOP_SHORT_MM,
        "least_wood": LEAST_WOOD_MM,
        "allowance": trimmed(board.wire_allowance_mm),
        "wire_total": derived.board.wire_total_mm,
        "bends": any(fret.bend_radius_mm for fret in cut),
        "last": cut[-1].fret,
    }
