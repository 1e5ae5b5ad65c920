"""Lengths as people write them and as people read them; inside the program a length is a float in mm."""

from __future__ import annotations

import math
import re
from fractions import Fraction

MM_PER_INCH = Fraction(254, 10)
UNITS = {"mm": Fraction(1), "cm": Fraction(10), "in": MM_PER_INCH, '"': MM_PER_INCH}
LONGEST_TEXT = 64

_NUMBER = r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+"
_FRACTION = r"(?:[0-9]+[ -])?[0-9]+/[0-9]+"
_SHAPE = re.compile(rf"(-?)({_FRACTION}|{_NUMBER}) ?([^0-9\s./-]*)")


def length_pattern(signed: bool = False) -> str:
    """The grammar of a written length as a regular expression, for a JSON Schema."""
    minus = "-?" if signed else ""
    return rf'^{minus}(?:{_FRACTION}|{_NUMBER}) ?(?:mm|cm|in|")$'


class NotALength(ValueError):
    """Something that is no length; ``code`` is short, the message says the remedy."""

    def __init__(self, code: str, message: str) -> None:
        self.code = code
        super().__init__(message)


def length_mm(value: object, signed: bool = False) -> float:
    """The length in mm, correctly rounded, of a number of mm or a text such as ``34 1/2 in``.

    ``signed`` admits a minus sign. Raises NotALength for anything else. An inch is 25.4 mm exactly.
    **Source**: public format version 1; international inch of 1959.
    """
    if isinstance(value, str):
        return _written_mm(value, signed)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise NotALength("not-a-length", 'give a number of mm or a text such as "34 1/2 in"')
    return _plain_mm(value, signed)


def _plain_mm(value: float, signed: bool) -> float:
    try:
        length = float(value) + 0.0  # minus zero becomes zero
    except OverflowError:
        length = math.inf
    if not math.isfinite(length):
        raise NotALength("not-finite", "give a finite number of mm")
    if length < 0 and not signed:
        raise NotALength("minus", "a minus sign is not allowed here: give a length of 0 or more")
    return length


def _written_mm(text: str, signed: bool) -> float:
    if len(text) > LONGEST_TEXT:
        raise NotALength("too-long", f"write the length in at most {LONGEST_TEXT} characters")
    shape = _SHAPE.fullmatch(text)
    if shape is None:
        raise NotALength("not-a-length", 'write a number and a unit, such as "864 mm", "34.5 in" or "34 1/2 in"')
    minus, number, unit = shape.groups()
    if not unit:
        raise NotALength("no-unit", f'add a unit: "{number} mm" or "{number} in"; only a bare number may go without')
    if unit not in UNITS:
        raise NotALength("unknown-unit", 'unknown unit: write mm, cm, in or "')
    if minus and not signed:
        raise NotALength("minus", "a minus sign is not allowed here: give a length of 0 or more")
    return float(_exact(number) * UNITS[unit] * (-1 if minus else 1)) + 0.0


def _exact(number: str) -> Fraction:
    if "/" not in number:
        return Fraction(number)
    *whole, fraction = re.split("[ -]", number)
    over, under = fraction.split("/")
    if int(under) == 0:
        raise NotALength("zero-denominator", "a fraction cannot have 0 below the stroke")
    return Fraction(int(over), int(under)) + sum(map(int, whole))


def trimmed(number: float, places: int = 2) -> str:
    """The number rounded to that many places, without trailing zeros: ``939.8``, ``7``."""
    text = f"{number:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def millimetres(mm: float, places: int = 2) -> str:
    """The length for people, in mm: ``939.8 mm``."""
    return f"{trimmed(mm, places)} mm"


def decimal_inches(mm: float, places: int = 3) -> str:
    """The length for people, in decimal inches: ``34.125 in``; under one inch as gauges are written, ``.045 in``."""
    text = f"{float(Fraction(mm) / MM_PER_INCH):.{places}f}"
    whole, _, decimals = text.partition(".")
    if whole == "0" and decimals.strip("0"):
        return f".{decimals} in"
    return f"{whole}.{decimals} in" if decimals.strip("0") else f"{whole} in"


def inches(mm: float, denominator: int = 64) -> str:
    """The length for people to the nearest 1/denominator inch, the fraction reduced: ``34 1/2 in``."""
    steps = round(Fraction(mm) / MM_PER_INCH * denominator)
    whole, rest = divmod(abs(steps), denominator)
    part = Fraction(rest, denominator)
    words = [str(whole)] if whole or not rest else []
    words += [f"{part.numerator}/{part.denominator}"] if rest else []
    return ("-" if steps < 0 else "") + " ".join(words) + " in"
