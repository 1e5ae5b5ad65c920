"""The plan as a DXF file for a machine: R2010, mm, layers named by what lies on them, closed outlines closed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from io import StringIO
from typing import Any

import ezdxf
from ezdxf import units
from ezdxf.enums import TextEntityAlignment

from specs.drawings.shapes import Hole, Line, Mark, Outline, Plan, Shape, Words

VERSION = "R2010"
METRIC = 1
PEN_100THS_MM = 25
COLOURS = {"SLOTS": 1, "SLOT-CENTRES": 1, "CUTTER-PATHS": 1, "DATUM": 5, "PIN-HOLES": 5, "CENTRE-LINE": 8}
"""Numbers of the AutoCAD colour index; all others are 7, black or white. Colour carries no meaning of its own."""

CENTRE_DASHES_MM = (30.0, 24.0, -3.0, 0.0, -3.0)
"""Pattern of the long-dashed dotted line, its length first. **Source**: ISO 128-2, dashes for a line 1 mm wide."""


def write_dxf(plan: Plan) -> bytes:
    """The whole file; the same plan always gives the same bytes.

    **Source**: DXF reference, AC1024; ``$INSUNITS`` 4 is mm.
    """
    with _fixed_dates():
        document = ezdxf.new(VERSION, units=units.MM)
        document.header["$MEASUREMENT"] = METRIC
        _add_layers(document, plan)
        space = document.modelspace()
        for shape in plan.shapes:
            _add(space, shape)
        written = StringIO()
        document.write(written)
    return document.encode(written.getvalue())


@contextmanager
def _fixed_dates() -> Iterator[None]:
    """Keep the clock and random identifiers out of the file, and the library's setting as it was."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _add_layers(document: Any, plan: Plan) -> None:
    document.linetypes.add("LONG-DASH-DOT", pattern=CENTRE_DASHES_MM, description="long-dashed dotted, ISO 128-2")
    for layer in plan.layers:
        kind = "LONG-DASH-DOT" if layer == "CENTRE-LINE" else "CONTINUOUS"
        document.layers.add(layer, color=COLOURS.get(layer, 7), linetype=kind, lineweight=PEN_100THS_MM)


def _add(space: Any, shape: Shape) -> None:
    attributes = {"layer": shape.layer}
    match shape:
        case Line():
            space.add_line(shape.start, shape.end, dxfattribs=attributes)
        case Outline():
            space.add_lwpolyline(shape.points, close=True, dxfattribs=attributes)
        case Hole():
            space.add_circle(shape.centre, shape.diameter_mm / 2, dxfattribs=attributes)
        case Mark():
            space.add_point(shape.at, dxfattribs=attributes)
        case Words():
            text = space.add_text(shape.text, height=shape.height_mm, dxfattribs=attributes)
            text.set_placement(shape.at, align=TextEntityAlignment.CENTER)
