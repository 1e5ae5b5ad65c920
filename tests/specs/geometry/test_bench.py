"""The table a luthier scribes from: its datum, its signs and its words."""

from math import hypot

import pytest

from specs.geometry.bench import bench_tables, leaning
from tests.specs.documents import derived


def test_a_whole_perpendicular_fret_is_the_datum_and_the_nut_is_there_too():
    tables = bench_tables(derived())
    assert [table.datum for table in tables.both] == ["line of fret 7", "centre of the nut"]
    assert tables.first is tables.perpendicular


def test_a_fractional_one_leaves_the_nuts_centre():
    tables = bench_tables(derived({"scale.perpendicular_fret": 7.5}))
    assert [table.datum for table in tables.both] == ["centre of the nut"]
    assert tables.first is tables.nut


def test_a_square_nut_is_the_line_of_the_nut():
    assert bench_tables(derived({"scale.perpendicular_fret": 0})).first.datum == "line of the nut"


def test_distances_are_signed_and_from_one_datum():
    instrument = derived()
    rows = bench_tables(instrument).first.rows
    assert rows[7].centre_mm == rows[7].blank_bass_mm == rows[7].edge_treble_mm == 0
    assert rows[6].centre_mm < 0 < rows[8].centre_mm
    for row, fret in zip(rows, instrument.frets, strict=True):
        assert row.centre_mm == fret.centre_mm - instrument.frets[7].centre_mm
        assert row.edge_bass_mm == pytest.approx(fret.edge_from_nut_mm[0] - instrument.frets[7].edge_from_nut_mm[0])
        assert row.edge_treble_mm == pytest.approx(fret.edge_from_nut_mm[1] - instrument.frets[7].edge_from_nut_mm[1])


def test_from_the_nut_the_edges_count_from_the_square_line_through_its_centre():
    instrument = derived()
    nut, last = instrument.frets[0], instrument.frets[-1]
    (x0, y0), (x1, y1) = nut.bass_edge, last.bass_edge
    y_at_zero = y0 + (y1 - y0) * (0 - x0) / (x1 - x0)
    row = bench_tables(instrument).nut.rows[-1]
    assert row.edge_bass_mm == pytest.approx(hypot(x1, y1 - y_at_zero), rel=1e-12)
    assert row.blank_bass_mm == last.blank_x[0]


def test_angles_have_no_sign_but_words():
    rows = bench_tables(derived()).first.rows
    assert [rows[fret].leaning for fret in (0, 7, 24)] == ["toward the bridge", "square", "toward the nut"]
    assert all(row.angle_deg >= 0 for row in rows)
    assert leaning(0.004) == leaning(-0.004) == "square"


def test_left_handed_tables_hold_the_same_figures():
    assert bench_tables(derived({"hand": "left"})) == bench_tables(derived())
