"""Screen, machine file and paper of six instruments draw the same points: SVG, DXF and the PDF's own operators."""

import base64
import re
import zlib
from functools import cache
from math import inf
from xml.etree import ElementTree

import pytest
from scipy.spatial import KDTree

from specs.drawings.tiles import tiling
from tests.specs.drawings.six import PAPERS, SPECS, drawn, layers, pdf, svg

AGREE_MM = 1e-6
MM_PER_PT = 25.4 / 72
SVG = "{http://www.w3.org/2000/svg}"
DRAWN_ALIKE = {
    "BOARD-OUTLINE": ("polygon", "part"),
    "FRET-LINES": ("line", "fret"),
    "STRINGS": ("line", "string"),
    "SADDLE-WINDOWS": ("line", "window"),
    "PICKUP-ROWS": ("line", "row"),
    "BRIDGE-POINTS": ("circle", "bridge"),
}
"""Layer of the machine file; element of the screen's drawing and the name it carries."""

ON_PAPER = (
    *DRAWN_ALIKE, "BLANK", "SLOTS", "NUT-SEAT", "BRIDGE-LINE", "PICKUP-ROUTS", "CENTRE-LINE", "DATUM", "PIN-HOLES",
    "SCREW-CENTRES",
)  # fmt: skip

NUMBER = rb"-?\d*\.?\d+"
PATH = re.compile(rb"n (?:%b %b [ml] )+(?:h )?S" % (NUMBER, NUMBER))
POINT = re.compile(rb"(%b) (%b) [ml]" % (NUMBER, NUMBER))

pytestmark = pytest.mark.parametrize("name", SPECS)


@cache
def on_screen(name, layer):
    tag, named = DRAWN_ALIKE[layer]
    found = [one for one in ElementTree.fromstring(svg(name)).iter(f"{SVG}{tag}") if f"data-{named}" in one.attrib]
    return [[complex(x, -y) for x, y in _points(one)] for one in found]


def _points(element):
    match element.tag.removeprefix(SVG):
        case "line":
            return [tuple(float(element.get(f"{axis}{end}")) for axis in "xy") for end in (1, 2)]
        case "circle":
            return [(float(element.get("cx")), float(element.get("cy")))]
    return [tuple(map(float, pair.split(","))) for pair in element.get("points").split()]


@cache
def in_file(name, layer):
    ends = {
        "LINE": lambda one: (one.dxf.start, one.dxf.end),
        "POINT": lambda one: (one.dxf.location,),
        "LWPOLYLINE": lambda one: one.vertices_in_wcs(),
        "CIRCLE": lambda one: (one.dxf.center,),
    }
    return [[complex(end.x, end.y) for end in ends[one.dxftype()](one)] for one in layers(name)[layer]]


@cache
def on_paper(name, paper):
    """Every straight path as its numbers are written, put back where it lies on the instrument."""
    sheets, content = tiling(drawn(name).extent, paper), pdf(name, paper)
    streams = re.findall(rb"/ASCII85Decode.*?stream\r?\n(.*?)~>", content, re.DOTALL)
    found = []
    for tile, stream in zip(sheets.tiles, streams, strict=True):
        origin = complex(*sheets.on_paper_mm(tile, (0.0, 0.0)))
        code = b" ".join(zlib.decompress(base64.a85decode(stream.strip())).split())
        for path in PATH.findall(code):
            found.append([complex(float(x), float(y)) * MM_PER_PT - origin for x, y in POINT.findall(path)])
    return found


def apart_mm(one, other):
    return max(abs(a - b) for a, b in zip(one, other, strict=True))


def flat(path):
    return [along for point in path for along in (point.real, point.imag)]


@pytest.mark.parametrize("layer", DRAWN_ALIKE)
def test_screen_and_machine_file_agree(name, layer):
    screen, file = on_screen(name, layer), in_file(name, layer)
    assert len(screen) == len(file) > 0
    assert max(map(apart_mm, screen, file)) < AGREE_MM


@pytest.mark.parametrize("paper", PAPERS)
def test_paper_and_machine_file_agree(name, paper):
    """A point and a hole are drawn as crosses on paper: their middles are compared."""
    paths = on_paper(name, paper)
    drawn_by_length = {length: [flat(path) for path in paths if len(path) == length] for length in (2, 4)}
    drawn_by_length[1] = [flat([(path[0] + path[1]) / 2]) for path in paths if len(path) == 2]
    nearest = {length: KDTree(drawn) for length, drawn in drawn_by_length.items()}
    for layer in ON_PAPER:
        for wanted in in_file(name, layer):
            assert nearest[len(wanted)].query(flat(wanted), p=inf)[0] < AGREE_MM, layer
