"""The cut-ready drawing of an order's current revision: its plan, its title block, its file names."""

from __future__ import annotations

from collections.abc import Iterator

from django.conf import settings
from django.utils.translation import gettext as _

from shop.orders.models import Order
from shop.papers.traveller import instrument_title
from shop.templatetags.shown import day
from specs.derived import Derived
from specs.drawings.plan import CoilRow, Rout, Screw, plan
from specs.drawings.shapes import Plan
from specs.geometry.bridge_screws import unit_screws
from specs.geometry.housings import routs
from specs.geometry.neck_bolts import bolt_holes
from specs.models import Spec

KERF_MM = CUTTER_MM = 0.58
"""The slot of a 0.5 mm tang. **Source**: common practice."""


def cut_ready(
    order: Order, derived: Derived, *, kerf_mm: float = KERF_MM, cutter_mm: float = CUTTER_MM, mode: str = "through"
) -> Plan:
    """The plan with saddle windows, pickup rows and routs, and the order's number and status in its text.

    Raises Refused for a kerf, cutter or mode that cannot cut the slots.
    """
    return plan(
        derived,
        kerf_mm=kerf_mm,
        cutter_mm=cutter_mm,
        mode=mode,
        saddle_windows=[string.saddle_window_mm for string in derived.strings],
        pickup_rows=tuple(_coil_rows(derived)),
        routs=[Rout(shell.name, shell.corners) for shell in routs(derived)],
        screws=tuple(_screws(derived)),
        notes=_notes(order, derived),
        say=_,
    )


def title_block(order: Order, derived: Derived) -> tuple[tuple[str, str], ...]:
    """Label and value of every field of the title block."""
    spec = order.spec
    return (
        (_("Legal owner"), settings.OWNER),
        (_("Title"), instrument_title(derived)),
        (_("Identification"), order.number),
        (_("Revision"), spec.revision),
        (_("Document type"), _("True-size drawing")),
        (_("Creator"), str(spec.made_by)),
        (_("Date of issue"), day(spec.released_at).replace("–", "-")),
        (_("Status"), status(spec)),
    )


def status(spec: Spec) -> str:
    """Released, or NOT RELEASED in words nobody overlooks."""
    return _("Released") if spec.is_released else _("NOT RELEASED")


def file_name(order: Order, what: str, ending: str) -> str:
    """What the file is called: C26-0142-B-board-through.dxf, with ``not-released`` in a draft's."""
    draft = "" if order.spec.is_released else "-not-released"
    return f"{order.number}-{order.spec.revision}-board-{what}{draft}.{ending}"


def _coil_rows(derived: Derived) -> Iterator[CoilRow]:
    for place in derived.pickups:
        for number, row in enumerate(place.rows, start=1):
            name = place.name if len(place.rows) == 1 else f"{place.name} {number}"
            yield CoilRow(name, *row.line)


def _screws(derived: Derived) -> Iterator[Screw]:
    for hole in bolt_holes(derived):
        yield Screw(_("neck screw"), hole.centre, hole.diameter_mm)
    for screw in unit_screws(derived):
        yield Screw(_("bridge screw, string {number}").format(number=screw.string), screw.centre, screw.diameter_mm)


def _notes(order: Order, derived: Derived) -> list[str]:
    named = _("{number}, revision {revision}").format(number=order.number, revision=order.spec.revision)
    notes = [f"{named} - {status(order.spec)}"]
    if derived.pickups:
        notes.append(_("pickup routs: typical sizes, measure the part before cutting"))
    if bolt_holes(derived):
        notes.append(_("neck screws: from the back into the heel, never through the board"))
    return notes + _unmeasured(derived)


def _unmeasured(derived: Derived) -> list[str]:
    """What to measure before the screws of the bridge can be drawn, in words."""
    bridge = derived.spec.bridge
    match bridge.front_screw_mm is None, bridge.rear_screw_mm is None:
        case True, True:
            return [_("bridge screws: measure the unit in hand, then they are drawn")]
        case True, False:
            return [_("front bridge screws: measure the unit in hand, then they are drawn")]
        case False, True:
            return [_("rear bridge screws: measure the unit in hand, then they are drawn")]
    return []
