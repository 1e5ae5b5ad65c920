"""Hours learned from finished work, against NumPy, SciPy and a printed learning-curve table."""

from __future__ import annotations

import csv
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from routing.catalogue import OPERATIONS, Touch
from routing.learning import (
    FEWEST,
    OLD_WEIGHT,
    Evidence,
    fitted_rate,
    is_worth_saying,
    percentile,
    proposed,
    sifted,
    stints,
    unit_time,
    worked_h,
)
from routing.workdays import WorkCalendar

TABLE = Path(__file__).parents[1] / "reference" / "learning_unit_times.csv"
PRINTED_TO = 0.0006
"""The table is printed to three decimals; its maker rounded some by hand."""

DAY = ((time(8), time(12)), (time(13), time(17)))
LISBON = WorkCalendar("Europe/Lisbon", (*(DAY,) * 5, (), ()), frozenset({date(2026, 4, 25)}))
MONDAY = datetime(2026, 4, 13, 7, 0, tzinfo=UTC)
"""08:00 in Lisbon, in summer time."""


def hour(at: float) -> datetime:
    return MONDAY + timedelta(hours=at)


def rows() -> list[tuple[int, int, float]]:
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    table = csv.DictReader(lines)
    return [(int(row["unit"]), int(rate), float(row[rate])) for row in table for rate in row if rate != "unit"]


@pytest.mark.parametrize(("unit", "rate", "printed"), rows())
def test_unit_times_of_the_printed_table(unit, rate, printed):
    assert unit_time(1, unit, rate / 100) == pytest.approx(printed, abs=PRINTED_TO)


def test_the_unit_model_is_not_wrights():
    """Wideman's appendix: at 80 % the second unit takes 60 % of the first by Wright's model, 80 % by the unit model."""
    assert unit_time(100, 2, 0.8) == pytest.approx(80)


@pytest.mark.parametrize(("unit", "rate"), [(0, 0.8), (1, 0), (1, 1.1)])
def test_what_is_no_unit_or_no_rate_is_refused(unit, rate):
    with pytest.raises(ValueError, match="units count from 1"):
        unit_time(1, unit, rate)


def test_a_rate_is_found_again_in_the_times_it_made():
    assert fitted_rate([unit_time(70, unit, 0.85) for unit in range(1, 9)]) == pytest.approx(0.85)


def test_a_fitted_rate_is_scipys_slope():
    times = [80, 71, 66, 69, 60]
    slope = stats.linregress(np.log2(np.arange(1, 6)), np.log2(times)).slope
    assert fitted_rate(times) == pytest.approx(2**slope)


def test_hands_do_not_unlearn():
    assert fitted_rate([10, 12, 14]) == 1
    with pytest.raises(ValueError, match="two times"):
        fitted_rate([10])


def test_a_pause_between_stints_does_not_count():
    log = [("started", hour(0)), ("paused", hour(1)), ("started", hour(3)), ("held", hour(3.5)), ("lifted", hour(4)),
           ("started", hour(5)), ("done", hour(6))]  # fmt: skip
    assert worked_h(stints(log), LISBON) == pytest.approx(2.5)


def test_done_without_a_start_has_no_time():
    assert stints([("done", hour(0))]) == []


def test_an_evening_counts_and_a_night_does_not():
    assert worked_h([(hour(10), hour(12.5))], LISBON) == pytest.approx(2.5)  # 18:00 to 20:30, overtime
    assert worked_h([(hour(8), hour(25))], LISBON) == pytest.approx(2)  # 16:00 to 9:00 the next day
    friday = MONDAY + timedelta(days=4)
    assert worked_h([(friday + timedelta(hours=8), friday + timedelta(days=3, hours=1))], LISBON) == pytest.approx(2)


def test_the_rest_at_noon_is_taken_off_where_a_stint_runs_across_it():
    assert worked_h([(hour(3), hour(6))], LISBON) == pytest.approx(2)  # 11:00 to 14:00
    assert worked_h([(hour(4.25), hour(4.75))], LISBON) == pytest.approx(0.5)  # within it, by one who worked on


def test_a_night_of_the_clock_change_counts_working_time():
    saturday = datetime(2026, 3, 28, 9, tzinfo=UTC)
    assert worked_h([(saturday, saturday + timedelta(days=2))], LISBON) == pytest.approx(2)  # Monday 8:00 to 10:00


def test_the_cut_is_the_modified_z_score_of_the_logarithm():
    hours = [1.6, 1.9, 2.0, 2.1, 2.2, 2.4, 2.9, 16.0]
    logs = np.log(hours)
    score = 0.6745 * np.abs(logs - np.median(logs)) / stats.median_abs_deviation(logs)
    kept = [one for one, z in zip(hours, score, strict=True) if z <= 3.5]
    assert sifted(hours).kept == tuple(kept) == tuple(hours[:-1])
    assert sifted(hours).far_off == (16.0,)


def test_forgotten_buttons_do_not_move_what_is_proposed():
    """Four in ten tasks run on until somebody looks; the rest decide."""
    real = [1.8, 1.9, 1.95, 2.0, 2.0, 2.05, 2.1, 2.2, 2.0, 1.9, 2.1, 2.0]
    forgotten = [8.0, 9.0, 12.0, 16.0, 16.5, 24.0, 8.5]
    estimate = Touch(1, 1.5, 2)
    assert proposed(sifted(real + forgotten), estimate) == proposed(sifted(real), estimate)


def test_what_is_left_out_is_counted():
    found = sifted([None, None, 0.001, 2.0, 2.1, 1.9, 2.0, 2.05, 40.0])
    assert found == Evidence((1.9, 2.0, 2.0, 2.05, 2.1), (40.0,), untimed=2, pressed_together=1)
    assert (found.left_out, found.median) == (4, 2.0)


def test_equal_hours_leave_the_next_steady_one_in():
    assert sifted([2.0] * 9 + [2.2]).far_off == ()


@pytest.mark.parametrize("share", [0.1, 0.5, 0.8, 0.9])
def test_percentiles_are_values_that_were_measured(share):
    hours = list(np.random.default_rng(7).lognormal(0, 0.3, 41))
    assert percentile(hours, share) == np.percentile(hours, 100 * share, method="inverted_cdf")
    assert percentile(hours, share) in hours


def test_few_tasks_say_nothing():
    assert proposed(sifted([2.0] * (FEWEST - 1)), Touch(1, 2, 3)) is None
    assert proposed(sifted([]), Touch(1, 2, 3)) is None


def test_a_handful_moves_the_estimate_a_part_of_the_way():
    moved = proposed(sifted([4.0] * 8), Touch(1, 2, 3))
    assert OLD_WEIGHT == 8
    assert moved == Touch(2.5, 3, 3.5)


def test_many_tasks_nearly_speak_alone():
    hours = np.random.default_rng(3).lognormal(np.log(3), 0.2, 200)
    moved = proposed(sifted(hours), Touch(1, 2, 3))
    assert moved.usual == pytest.approx(float(np.median(hours)), rel=0.03)
    assert moved.low < moved.usual < moved.high


def test_small_changes_are_not_worth_saying():
    assert not is_worth_saying(Touch(1, 2.1, 3.1), Touch(1, 2, 3))
    assert is_worth_saying(Touch(1, 2.3, 3), Touch(1, 2, 3))
    assert is_worth_saying(Touch(1, 2, 5.1), Touch(1, 2, 3))


def test_every_operation_belongs_to_one_line():
    """So that an estimate needs no word for custom or series."""
    assert all(len({"custom", "series"} & set(operation.when)) == 1 for operation in OPERATIONS)
