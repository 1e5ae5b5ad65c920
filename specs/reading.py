"""How one given value becomes the value of a declared kind, or is refused with the remedy."""

from __future__ import annotations

import difflib
import json
import math
import re
from collections.abc import Iterable
from typing import Any

from specs.fields import Choice, Flag, Length, Number, Pitch, Text, Whole
from specs.strict_json import is_text
from specs.units import NotALength, length_mm, trimmed

PITCH = re.compile(r"[A-G][#b]?[0-9]")


class Wrong(Exception):
    """The value is not of its kind; ``code`` is short, the message says the remedy."""

    def __init__(self, code: str, message: str) -> None:
        self.code = code
        super().__init__(message)


def read_value(kind: Any, given: Any) -> Any:
    """The value of a single (not listed) kind: lengths in mm, numbers as float. Raises Wrong."""
    if given is None:
        if getattr(kind, "or_null", ""):
            return None
        raise Wrong("null", f"null is not allowed here: give {wanted(kind)}, or leave the key out if it is optional")
    return _READERS[type(kind)](kind, given)


def wanted(kind: Any) -> str:
    """What a value of this kind looks like, in words: ``a length from 400 to 1200 mm``."""
    return _wanted(kind) + (f", or null ({kind.or_null})" if getattr(kind, "or_null", "") else "")


def _wanted(kind: Any) -> str:
    match kind:
        case Length(low, high):
            return f"a length from {trimmed(low)} to {trimmed(high)} mm"
        case Whole(low, high):
            return f"a whole number from {low} to {high}" if low < high else f"the number {low}"
        case Number():
            return _wanted_number(kind)
        case Choice(values):
            return "one of " + listed(values)
        case Flag():
            return "true or false"
        case Pitch():
            return 'a pitch such as "B0", "F#1" or "Bb0"'
        case Text(longest, shortest):
            return f"text of {shortest} to {longest} characters" if shortest else f"text of up to {longest} characters"
    return "a list" if hasattr(kind, "of") else "an object"


def _wanted_number(kind: Number) -> str:
    between = "a number strictly between" if kind.open_ends else "a number from"
    joint = "and" if kind.open_ends else "to"
    words = f", or {listed(kind.words)}" if kind.words else ""
    return f"{between} {kind.low:g} {joint} {kind.high:g} {kind.unit}".rstrip() + words


def listed(words: Iterable[str]) -> str:
    """Words in double quotes, separated by commas."""
    return ", ".join(f'"{word}"' for word in words)


def nearest(given: str, words: Iterable[str]) -> str:
    """A closing question naming the closest allowed word, or nothing where none is close."""
    by_lower = {word.lower(): word for word in words}
    close = difflib.get_close_matches(given[:60].lower(), list(by_lower), n=1)
    return f'; did you mean "{by_lower[close[0]]}"?' if close else ""


def shown(given: Any) -> str:
    """A given value as a message quotes it: short, and never the inside of a list or an object."""
    match given:
        case str() | bool() | None:
            text = json.dumps(given)
        case int() if abs(given) > 10**15:
            text = "a huge number"
        case int() | float():
            text = repr(given)
        case list() | tuple():
            text = "a list"
        case _:
            text = "an object"
    return text if len(text) <= 60 else text[:57] + "..."


def _length(kind: Length, given: Any) -> float:
    try:
        length = length_mm(given, kind.signed)
    except NotALength as error:
        raise Wrong(error.code, str(error)) from None
    if not kind.low <= length <= kind.high:
        raise Wrong("out-of-range", f"{shown(given)} is out of range: give {wanted(kind)}")
    return length


def _whole(kind: Whole, given: Any) -> int:
    _refuse_unless_number(kind, given)
    if not kind.low <= given <= kind.high:
        raise Wrong("out-of-range", f"{shown(given)} is out of range: give {wanted(kind)}")
    if given != int(given):
        raise Wrong("not-whole", f"{shown(given)} is not whole: give {wanted(kind)}")
    return int(given)


def _number(kind: Number, given: Any) -> float | str:
    if isinstance(given, str) and given in kind.words:
        return given
    _refuse_unless_number(kind, given)
    at_an_end = kind.open_ends and given in (kind.low, kind.high)
    if at_an_end or not kind.low <= given <= kind.high:
        raise Wrong("out-of-range", f"{shown(given)} is out of range: give {wanted(kind)}")
    return float(given) + 0.0  # minus zero becomes zero


def _refuse_unless_number(kind: Whole | Number, given: Any) -> None:
    if isinstance(given, str):
        words = getattr(kind, "words", ())
        hint = nearest(given, words) if words else " (a number, without quotation marks)"
        raise Wrong("number-as-text", f"{shown(given)} is text: give {wanted(kind)}{hint}")
    if isinstance(given, bool) or not isinstance(given, int | float):
        raise Wrong("not-a-number", f"{shown(given)} is no number: give {wanted(kind)}")
    if isinstance(given, float) and not math.isfinite(given):
        raise Wrong("not-finite", f"not a finite number: give {wanted(kind)}")


def _choice(kind: Choice, given: Any) -> str:
    if not isinstance(given, str):
        raise Wrong("not-text", f"{shown(given)} is no word: give {wanted(kind)}")
    if given not in kind.values:
        raise Wrong("unknown-word", f"{shown(given)} is not offered: give {wanted(kind)}{nearest(given, kind.values)}")
    return given


def _flag(kind: Flag, given: Any) -> bool:
    if not isinstance(given, bool):
        raise Wrong("not-a-flag", f"{shown(given)} is neither: give true or false, without quotation marks")
    return given


def _pitch(kind: Pitch, given: Any) -> str:
    if not isinstance(given, str) or not PITCH.fullmatch(given):
        raise Wrong("not-a-pitch", f"{shown(given)} is no pitch: give {wanted(kind)}")
    return given


def _text(kind: Text, given: Any) -> str:
    if not isinstance(given, str):
        raise Wrong("not-text", f"{shown(given)} is no text: give {wanted(kind)}")
    if not kind.shortest <= len(given) <= kind.longest or (kind.shortest and not given.strip()):
        raise Wrong("text-length", f"give {wanted(kind)}; this has {len(given.strip())}")
    if not is_text(given) or not all(character.isprintable() or character in "\n\t\r " for character in given):
        raise Wrong("broken-character", "holds a character that cannot be printed: type the text again")
    return given


_READERS = {
    Length: _length, Whole: _whole, Number: _number, Choice: _choice, Flag: _flag, Pitch: _pitch, Text: _text,
}  # fmt: skip
