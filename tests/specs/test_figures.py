"""Board feet against worked examples in print."""

import pytest

from specs.figures import board_feet

EXAMPLES = [
    ((1, 9, 96), 6),  # a woodworkers' tip sheet, T x W x L / 144
    ((1.5, 9, 96), 9),  # the same sheet
    ((1, 6, 120), 5),  # a lumber dealer's page: 1 in x 6 in x 10 ft
    ((2, 8, 72), 8),  # a lumber store's page
    ((2, 6.25, 96), 25 / 3),  # American Hardwood Export Council, Measurement: 4 1/6 surface feet, here unrounded x 2
]


@pytest.mark.parametrize(("size_in", "expected"), EXAMPLES)
def test_worked_examples(size_in, expected):
    assert board_feet(*size_in) == pytest.approx(expected, rel=1e-15)


def test_a_board_foot_is_a_foot_square_and_an_inch_thick():
    assert board_feet(1, 12, 12) == 1
