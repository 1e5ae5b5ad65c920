"""The table of saddles: what was computed, the worst fret found again, stored numbers once released."""

from __future__ import annotations

from dataclasses import replace
from math import inf

from shop.orders.saddle_rows import saddle_rows
from tests.specs.documents import derived


def test_rows_go_from_the_highest_string_and_name_the_worst_fret():
    made = derived()
    rows = saddle_rows(made)
    assert [row.number for row in rows] == [1, 2, 3, 4, 5]
    low, string = rows[-1], made.strings[0]
    assert (low.setback_mm, low.window_mm) == (string.setback_mm, string.saddle_window_mm)
    assert abs(low.worst_cents) == max(map(abs, string.residual_cents))
    assert string.residual_cents[low.worst_fret] == low.worst_cents


def test_an_estimated_core_shows_its_range_and_a_measured_one_none():
    assert all(row.estimated and row.range_mm[0] < row.setback_mm < row.range_mm[1] for row in saddle_rows(derived()))
    measured = saddle_rows(derived({"strings.cores": ["1.2 mm", "1 mm", "0.9 mm", "0.7 mm", "0.5 mm"]}))
    assert {(row.estimated, row.range_mm) for row in measured} == {(False, None)}


def test_a_core_too_thick_for_any_saddle_leaves_that_end_open():
    made = derived()
    odd = replace(made, strings=(replace(made.strings[0], setback_range_mm=(1.0, inf)),))
    assert saddle_rows(odd)[0].range_mm == (1.0, None)


def test_the_orders_page_tabulates_them(draft, client_of, bench):
    text = client_of(bench).get(f"/orders/{draft.number}/").content.decode()
    for said in ('id="saddles"', "Saddle window", "estimated", "Worst left over"):
        assert said in text
