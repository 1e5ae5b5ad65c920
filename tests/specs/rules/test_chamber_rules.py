"""Rules of a chambered body: skins under carves, wood round screws, battery box. Thresholds: common practice."""

import pytest
from shapely.geometry import Point, Polygon

from specs.geometry.body import carves
from specs.geometry.chambers import chambers
from tests.specs.documents import derived
from tests.specs.rules.pairs import Pair, assert_pair, names, told

TOPPED = {"body.chambering": "chambered", "body.top": "flat", "body.top_wood": "walnut"}
BOXED = {**TOPPED, "electronics.battery_boxes": 1}
BY_BRIDGE = {**BOXED, "electronics.battery_place": "bass side of the bridge"}
PLAIN = {"body.forearm": "none", "body.belly": False}
DRAWN_MM = 0.2


def hollows(changes):
    return [Polygon(chamber.curve.polygon(64)) for chamber in chambers(derived(changes))]


def face_skin(changes, top_mm):
    """The top less the forearm carve's deepest place over a chamber, measured by shapely."""
    (carve,) = [carve for carve in carves(derived(changes)) if carve.name == "forearm"]
    over = [hollow.intersection(Polygon(carve.outline)) for hollow in hollows(changes)]
    return top_mm - max(carve.depth_at_mm(point) for piece in over if piece.area for point in piece.exterior.coords)


THIN, THINNER = {**TOPPED, "body.top_thickness": 6.0}, {**TOPPED, "body.top_thickness": 5.5}
PAIRS = (
    Pair("battery-box-over-chamber", "error", BY_BRIDGE, 0.0, BOXED),
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=names(PAIRS))
def test_fires_and_does_not(pair):
    assert_pair(pair)


def test_a_forearm_carve_over_a_chamber_leaves_what_shapely_measures():
    (finding,) = told("chamber-skin-too-thin", THINNER)
    assert (finding.severity, finding.field) == ("error", "body.top_thickness")
    assert finding.figure == pytest.approx(face_skin(THINNER, 5.5), abs=DRAWN_MM)
    assert finding.figure < 3.5
    assert told("chamber-skin-too-thin", THIN) == []


def test_a_skin_between_the_limits_warns():
    (finding,) = told("chamber-skin-thin", THIN)
    assert (finding.severity, finding.figure) == ("warning", pytest.approx(face_skin(THIN, 6.0), abs=DRAWN_MM))
    assert told("chamber-skin-thin", THINNER) == []
    assert told("chamber-skin-thin", {**TOPPED, **PLAIN}) == []


def test_a_belly_carve_runs_into_a_back_cover():
    uncovered = {"body.chambering": "chambered"}
    (finding,) = told("chamber-skin-thin", uncovered)
    assert (finding.severity, finding.field, finding.figure < 0) == ("warning", "body.belly", True)
    assert told("chamber-skin-thin", {**uncovered, "body.belly": False}) == []


def test_a_carved_top_thins_the_whole_skin():
    carved = {**TOPPED, **PLAIN, "body.top": "carved", "body.top_thickness": 14, "body.carve_depth": 11}
    assert [finding.figure for finding in told("chamber-skin-too-thin", carved)] == [3.0]
    assert told("chamber-skin-too-thin", {**carved, "body.carve_depth": 10}) == []


def test_a_wide_bridge_brings_its_screws_to_the_chambers():
    wide = {**TOPPED, "bridge.spread": 100}
    (finding,) = told("solid-wood-round-screws", wide)
    screws = [Point(*string.bridge) for string in derived(wide).strings]
    screws += [Point(string.bridge[0] + 30, string.bridge[1]) for string in derived(wide).strings]
    nearest = min(hollow.distance(screw) for hollow in hollows(wide) for screw in screws)
    assert (finding.severity, finding.figure) == ("error", pytest.approx(nearest, abs=DRAWN_MM))
    assert finding.figure < 25
    assert told("solid-wood-round-screws", TOPPED) == []


def test_a_solid_body_has_no_such_findings():
    solid = told("solid-wood-round-screws", {"bridge.spread": 100}) + told("chamber-skin-thin", {"body.top": "flat"})
    assert solid == []
