"""The operations table: what it holds, and how a bad row is refused; counts as the trade's table has them."""

from __future__ import annotations

import json

import pytest

from routing.catalogue import DATA, OPERATIONS, STATIONS, operation, read_operations, read_stations, station
from specs.errors import Refused

ROWS = json.loads((DATA / "operations.json").read_text(encoding="utf-8"))


def row(name, after=(), **changed):
    plain = dict.fromkeys(("stage", "skill", "needs_first", "tools", "materials", "checks", "faults", "caution"), "")
    return plain | {
        "name": name, "station": "Mill", "when": ["custom"], "after": list(after), "touch_h": [1, 2, 3], "wait_h": 0,
        "source": "a test",
    } | changed  # fmt: skip


FIRST = row("First", releases=True)
LAST = row("Last", ["First"], starts_series_build=True)


def refused(*rows):
    with pytest.raises(Refused) as caught:
        read_operations(rows, STATIONS)
    return [str(problem) for problem in caught.value.problems]


def test_the_table_is_whole():
    assert [operation.name for operation in OPERATIONS] == [row["name"] for row in ROWS]
    assert (len(OPERATIONS), len(STATIONS)) == (117, 22)
    assert {operation.station for operation in OPERATIONS} == {station.name for station in STATIONS}
    assert len({operation.slug for operation in OPERATIONS}) == 117


def test_every_row_and_station_says_its_source():
    assert all(entry.source for entry in (*OPERATIONS, *STATIONS))


def test_every_station_has_a_caution_and_only_the_rack_just_waits():
    assert all(station.caution for station in STATIONS)
    assert [station.name for station in STATIONS if station.waits_only] == ["Cure rack"]


def test_rows_with_a_part_to_play():
    def names(flag):
        return [operation.name for operation in OPERATIONS if getattr(operation, flag)]

    assert names("releases") == ["Build sheet and traveller issued, serial number given"]
    assert names("starts_series_build") == ["Batch receiving and count"]
    assert names("lived_on_order") == [
        "Enquiry and consultation",
        "Specification draft and compatibility check",
        "Quotation",
        "Deposit received and place in the build line given",
    ]
    assert names("per_batch") == [operation.name for operation in OPERATIONS if "per batch" in operation.source]
    assert len(names("per_batch")) == 4


def test_second_person_signs_where_a_mirrored_or_misplaced_cut_cannot_be_undone():
    """Hold points of the trade's table: slotting, body machining, bridge drilling."""
    assert [operation.name for operation in OPERATIONS if operation.needs_second_person] == [
        "Body machining (outline, neck pocket, cavities)",
        "Body wing machining",
        "Neck-through body cavities and outline",
        "Fret slotting",
        "Dry assembly, bridge location and drilling",
    ]


def test_every_row_called_a_hold_point_is_one():
    named = [operation for operation in OPERATIONS if "(hold point)" in operation.name]
    assert len(named) == 2
    assert all(operation.hold_point for operation in named)


def test_found_by_name():
    assert operation("Fretting").key_figures == ("fret_count", "wire_total", "radius", "bend_radius")
    assert operation("Fretting").touch_h.usual == 2.5
    assert station("CNC or pin router").slug == "cnc-or-pin-router"


def test_good_rows_are_read():
    assert [operation.after for operation in read_operations([FIRST, LAST], STATIONS)] == [(), ("First",)]


@pytest.mark.parametrize(
    ("bad", "field"),
    [
        (row("Middle", ["Nowhere"]), "operations.1.after.0: Middle: 'Nowhere' is no operation"),
        (row("Middle", station="Quay"), "operations.1.station: Middle: 'Quay' is no station"),
        (row("Middle", when=["custom", "shiny"]), "operations.1.when.1: Middle: 'shiny' is not known"),
        (row("Middle", key_figures=["weight"]), "operations.1.key_figures.0: Middle: 'weight' is not known"),
        (row("Middle", ["Last"]), "operations.1.after.0: Middle: 'Last' does not stand above it"),
        (row("Middle", ["Middle"]), "operations.1.after.0: Middle: 'Middle' does not stand above it"),
        (row("Middle", touch_h=[2, 1, 3]), "operations.1.touch_h: Middle: must be low, usual and high hours"),
        (row("Middle", touch_h=[1, 2]), "operations.1.touch_h: Middle: must be low, usual and high hours"),
        (row("Middle", touch_h=[0, 1, float("nan")]), "operations.1.touch_h: Middle: must be low, usual and high"),
        (row("Middle", wait_h=-1), "operations.1.wait_h: Middle: must be hours from 0"),
        (row("First"), "operations.1.name: First: stands twice"),
        (row("Middle", releases=True), "operations: exactly one row must carry 'releases'"),
        (row("Middle", colour="red"), "operations.1.colour: Middle: is not a column"),
    ],
)
def test_a_bad_row_is_named(bad, field):
    problems = refused(FIRST, bad, LAST)
    assert len(problems) == 1
    assert problems[0].startswith(field)


def test_a_circle_is_refused_and_every_problem_told_at_once():
    problems = refused(FIRST, row("One", ["Two"]), row("Two", ["One"]), row("Three", wait_h=-1), LAST)
    assert [problem.split(":")[0] for problem in problems] == ["operations.1.after.0", "operations.3.wait_h"]


def test_missing_columns_are_refused():
    with pytest.raises(Refused, match=r"stations\.0\.places: Quay: is missing"):
        read_stations([{"slug": "quay", "name": "Quay", "waits_only": False, "caution": "", "source": "a test"}])
