"""Six instruments drawn whole, once each: what the tests of the cut-ready files read back."""

from collections import defaultdict
from functools import cache
from io import StringIO
from typing import Any

import ezdxf

from specs.derived import Derived
from specs.drawings.dxf import write_dxf
from specs.drawings.plan import CoilRow, Rout, Screw, plan
from specs.drawings.shapes import Plan
from specs.drawings.svg import board_drawing
from specs.drawings.template import true_size_pdf
from specs.geometry.bridge_screws import unit_screws
from specs.geometry.housings import routs
from specs.tables import load_tables
from tests.reference import forty_digits_drawn
from tests.specs.documents import FOUR_STRING, SIX_STRING, derived

KERF_MM, CUTTER_MM = "0.6", "0.5"
PAPERS = ("A4", "Letter", "roll")
MODES = ("through", "blind")
MEASURED_UNIT = {"bridge.front_screw": "17.5 mm", "bridge.rear_screw": "31.25 mm"}
NOTES = ["X26-0001, revision A - NOT RELEASED", *(f"{part}: measure it before cutting" for part in "abc")]


def _pickups(count: int) -> dict[str, Any]:
    row = [{"strings": list(range(1, count + 1)), "offset": "0 mm"}]
    return {
        "pickups": [
            {"name": "neck", "rows": row, "fraction": 0.2, "angle": "aligned"},
            {"name": "bridge", "rows": row, "fraction": 0.09, "angle": -11.5},
        ]
    }


SPECS = {
    "four strings": FOUR_STRING | _pickups(4) | MEASURED_UNIT | {"nut.kind": "zero fret"},
    "five strings": _pickups(5) | MEASURED_UNIT,
    "six strings": SIX_STRING | _pickups(6),
    "fractional perpendicular fret": _pickups(5) | {"scale.perpendicular_fret": 7.35, "nut.forward": "0.6 mm"},
    "left hand": SIX_STRING | _pickups(6) | MEASURED_UNIT | {"hand": "left"},
    "mixed spacing": _pickups(5) | {"nut.spacing": "equal-centres", "bridge.spacing": "equal-gaps"},
}


@cache
def instrument(name: str) -> Derived:
    """The computed instrument."""
    return derived(SPECS[name])


@cache
def drawn(name: str, mode: str = "through") -> Plan:
    """Its plan with everything that can be drawn."""
    one = instrument(name)
    return plan(
        one,
        kerf_mm=float(KERF_MM),
        cutter_mm=float(CUTTER_MM),
        mode=mode,
        saddle_windows=[string.saddle_window_mm for string in one.strings],
        pickup_rows=[CoilRow(place.name, *row.line) for place in one.pickups for row in place.rows],
        routs=[Rout(shell.name, shell.corners) for shell in routs(one)],
        screws=[Screw(f"string {hole.string}", hole.centre, hole.diameter_mm) for hole in unit_screws(one)],
        notes=NOTES,
    )


@cache
def exact(name: str, mode: str = "through") -> forty_digits_drawn.Shapes:
    """Its points by layer, computed with 40 digits."""
    spec, catalogue = instrument(name).spec, load_tables().strings
    weights = [catalogue.unit_weight(gauge, spec.strings.winding).lb_in for gauge in spec.strings.gauges_mm]
    return forty_digits_drawn.drawn(spec, weights, KERF_MM, CUTTER_MM, mode)


@cache
def dxf(name: str, mode: str = "through") -> Any:
    """The DXF file as its library reads it."""
    return ezdxf.read(StringIO(write_dxf(drawn(name, mode)).decode()))


@cache
def layers(name: str, mode: str = "through") -> dict[str, list[Any]]:
    """What lies on each layer of that file, in the order it was written."""
    found = defaultdict(list)
    for entity in dxf(name, mode).modelspace():
        found[entity.dxf.layer].append(entity)
    return found


@cache
def pdf(name: str, paper: str) -> bytes:
    """The true-size file."""
    return true_size_pdf(drawn(name), paper=paper)


@cache
def svg(name: str) -> str:
    """The drawing of screen and sheet."""
    return board_drawing(instrument(name))
