"""Movement across the grain against the handbook's worked board and its two tables, which must agree."""

import csv
from pathlib import Path

import pytest

from specs import vocabulary
from specs.tables import load_tables
from specs.wood.movement import CUTS, by_coefficient_mm, by_shrinkage_mm, growth_mm, shrinkages

TABLE = Path(__file__).parents[2] / "reference" / "dimensional_change.csv"
COEFFICIENT_ROUNDING = 6e-6
"""Five decimals are printed."""

with TABLE.open(encoding="utf-8") as lines:
    ROWS = [row for row in csv.DictReader(lines) if row["agrees"] == "yes"]


def test_worked_board():
    """USDA FPL, Wood Handbook FPL-GTR-190, page 13-17: 232 mm flat-sawn grow by 1.7 mm to 233.7 mm; species (white
    fir, 0.00245) and moisture (8 to 11 %) from memory."""
    assert by_coefficient_mm(232, 0.00245, 8, 11) == pytest.approx(1.7, abs=0.05)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["species"])
@pytest.mark.parametrize("way", ["radial", "tangential"])
def test_the_two_equations_agree_at_ten_percent(row, way):
    """Eq 13-3 with Table 4-3's shrinkage gives Eq 13-2's coefficient of Table 13-5 from 10 % moisture."""
    shrinkage = float(row[f"{way}_shrink_pct"])
    assert by_shrinkage_mm(1, shrinkage, 10, 11) == pytest.approx(float(row[f"c_{way}"]), abs=COEFFICIENT_ROUNDING)


def test_worked_maple():
    """60 mm of flat-sawn sugar maple from 8 to 11 %, both equations worked by hand."""
    assert growth_mm("hard maple", "flat", 60, 8, 11) == pytest.approx(0.6354, abs=1e-4)
    assert by_shrinkage_mm(60, 9.9, 8, 11) == pytest.approx(0.6405, abs=1e-4)


PANELS = [("khaya", 2.2), ("alder", 3.6), ("ash", 3.9), ("walnut", 3.9), ("hard maple", 5.0)]
PANEL_ROUNDING_MM = 0.1


@pytest.mark.parametrize(("word", "millimetres"), PANELS)
def test_a_flat_sawn_panel(word, millimetres):
    """350 mm over 4 % of moisture: common practice, no source; shrinkage from memory of the handbook."""
    assert growth_mm(word, "flat", 350, 7, 11) == pytest.approx(millimetres, abs=PANEL_ROUNDING_MM)


def test_cuts():
    flat, quarter, rift = (growth_mm("alder", cut, 100, 8, 10) for cut in CUTS)
    assert quarter < rift < flat
    assert rift == pytest.approx((flat + quarter) / 2)


def test_outside_six_to_fourteen_percent_shrinkage_is_used():
    assert growth_mm("alder", "flat", 100, 8, 20) == by_shrinkage_mm(100, 7.3, 8, 20)
    assert growth_mm("alder", "flat", 100, 12, 8) == by_coefficient_mm(100, 0.00256, 12, 8) < 0


def test_wood_above_fibre_saturation_is_refused():
    with pytest.raises(ValueError, match="0 to 30 %"):
        growth_mm("alder", "flat", 100, 35, 8)


def test_a_wood_without_a_row_is_unknown():
    with pytest.raises(LookupError):
        growth_mm("ebony", "flat", 100, 8, 10)


def test_every_row_is_a_wood_of_the_vocabulary_with_its_source():
    words = {*vocabulary.BODY_WOODS, *vocabulary.TOP_WOODS, *vocabulary.BOARD_WOODS, *vocabulary.NECK_WOODS}
    assert set(shrinkages()) <= words & set(load_tables().woods)
    assert all(wood.source and wood.confidence in {"high", "medium", "low"} for wood in shrinkages().values())
