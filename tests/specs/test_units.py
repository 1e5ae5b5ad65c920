"""Lengths in and out. The inch is 25.4 mm exactly (international agreement of 1959); doubles by exact fractions."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specs.units import NotALength, decimal_inches, inches, length_mm, millimetres, trimmed

FIXED = settings(derandomize=True, max_examples=200, deadline=None)


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        (864, 864.0), (863.6, 863.6), ("37 in", 939.8), ("37in", 939.8), ('37"', 939.8), ('37 "', 939.8),
        (".130 in", 3.302), ("0.045in", 1.143), ("1/2 in", 12.7), ("34 1/2 in", 876.3), ("34-1/2 in", 876.3),
        ("34 1/2in", 876.3), ("86.4 cm", 864.0), ("12.5mm", 12.5), ("34-1/2\"", 876.3), ("0 mm", 0.0), (-0.0, 0.0),
        ("007 mm", 7.0), ("3/64 in", 1.190625),
    ],
)  # fmt: skip
def test_a_length_is_read_in_mm(written, mm):
    assert length_mm(written) == mm
    assert str(length_mm(written)) == str(mm)


@pytest.mark.parametrize(("written", "mm"), [("-9 mm", -9.0), ("-1/2 in", -12.7), (-9, -9.0), ("-1 1/2 in", -38.1)])
def test_a_minus_sign_only_where_it_is_allowed(written, mm):
    assert length_mm(written, signed=True) == mm
    with pytest.raises(NotALength) as refused:
        length_mm(written)
    assert refused.value.code == "minus"


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("24", "no-unit"), ("34 1/2", "no-unit"), ("24 ", "no-unit"),
        ("24 ft", "unknown-unit"), ("24 MM", "unknown-unit"), ("24 m", "unknown-unit"), ("24 ″", "unknown-unit"),
        ("1/0 in", "zero-denominator"), ("", "not-a-length"), ("in", "not-a-length"), ("NaN mm", "not-a-length"),
        ("٣٤ mm", "not-a-length"), ("３４ mm", "not-a-length"), ("1e3 mm", "not-a-length"), ("+5 mm", "not-a-length"),
        ("5. mm", "not-a-length"), ("34  1/2 in", "not-a-length"), ("34 in\n", "not-a-length"),
        (" 34 in", "not-a-length"), ("34.5 1/2 in", "not-a-length"), ("1,5 mm", "not-a-length"),
        ("−9 mm", "not-a-length"), ("9" * 70 + " mm", "too-long"), (True, "not-a-length"), (None, "not-a-length"),
        ([34], "not-a-length"), (float("nan"), "not-finite"), (float("inf"), "not-finite"), (10**400, "not-finite"),
    ],
)  # fmt: skip
def test_what_is_no_length_is_refused_with_its_reason(written, code):
    with pytest.raises(NotALength) as refused:
        length_mm(written)
    assert refused.value.code == code


@FIXED
@given(st.integers(0, 99), st.integers(0, 640), st.integers(1, 640), st.sampled_from("- "))
def test_a_mixed_fraction_is_the_nearest_double(whole, over, under, joint):
    exact = (whole + Fraction(over, under)) * Fraction(254, 10)
    assert length_mm(f"{whole}{joint}{over}/{under} in") == exact.numerator / exact.denominator


@FIXED
@given(st.decimals(0, 2000, places=7))
def test_a_decimal_is_the_nearest_double(number):
    assert length_mm(f"{number:f} cm") == float(Fraction(number) * 10)


@FIXED
@given(st.text(max_size=20) | st.from_regex(r"[0-9./ -]{1,9} ?(mm|in)", fullmatch=True))
def test_no_text_ends_in_anything_but_a_length_or_a_refusal(text):
    outcome = length_or_refusal(text)
    assert str(outcome) if isinstance(outcome, NotALength) else outcome >= 0


def length_or_refusal(text):
    """What reading ends in, whichever it is."""
    try:
        return length_mm(text)
    except NotALength as refused:
        return refused


@pytest.mark.parametrize(
    ("mm", "shown"),
    [
        (863.6, "34 in"),
        (876.3, "34 1/2 in"),
        (864, "34 1/64 in"),
        (1.190625, "3/64 in"),
        (0, "0 in"),
        (-12.7, "-1/2 in"),
    ],
)
def test_inches_are_shown_to_the_nearest_sixty_fourth(mm, shown):
    assert inches(mm) == shown


def test_lengths_are_shown_without_idle_zeros():
    assert (decimal_inches(1.143), decimal_inches(876.3), decimal_inches(863.6)) == (".045 in", "34.500 in", "34 in")
    assert (millimetres(939.8), millimetres(-0.001), trimmed(7.0)) == ("939.8 mm", "0 mm", "7")


@FIXED
@given(st.integers(0, 64 * 48))
def test_shown_inches_read_back_to_the_same_length(steps):
    mm = float(Fraction(steps, 64) * Fraction(254, 10))
    assert length_mm(inches(mm)) == mm
