"""JSON text read without forgiving anything: each thing refused is named by its dotted path."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from specs.errors import Problem, Refused

DEEPEST = 32
LONGEST_DIGITS = 400

_BRACKETS = re.compile(r'"(?:[^"\\]|\\.)*"?|[\[{]|[\]}]', re.DOTALL)

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class _Object:
    pairs: list[tuple[str, Any]]


@dataclass(frozen=True)
class _Unusable:
    code: str
    message: str


def dotted(path: Path) -> str:
    """A path as people read it, ``strings.gauges.2``; the empty path is ``document``; unprintable keys are escaped."""
    return ".".join(map(_shown_part, path)) or "document"


def _shown_part(part: str | int) -> str:
    text = str(part)
    text = text if text.isprintable() else text.encode("unicode_escape").decode("ascii")
    return text if len(text) <= 60 else text[:57] + "..."


def read_json(text: str | bytes) -> dict[str, Any]:
    """The object the text holds.

    Raises Refused with every repeated key, NaN, infinity, oversized number and broken character, each at its path,
    or with one problem at ``document`` where the text is no JSON object at all. **Source**: RFC 8259, RFC 7493.
    """
    return _plain_document(_parsed(_decoded(text)))


def _decoded(text: str | bytes) -> str:
    if isinstance(text, str):
        return text.removeprefix("\ufeff")
    try:
        return text.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _refused("not-utf-8", f"save the file as UTF-8: byte {error.start} is not") from None


def _parsed(text: str) -> Any:
    if _depth(text) > DEEPEST:
        raise _refused("too-deep", f"nested more than {DEEPEST} levels deep; a spec needs seven")
    try:
        return json.loads(
            text, object_pairs_hook=_Object, parse_constant=_constant, parse_int=_whole, parse_float=_real
        )
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise _refused("not-json", f"not JSON at {where}: {error.msg}") from None


def _depth(text: str) -> int:
    deepest = level = 0
    for match in _BRACKETS.finditer(text):
        level += {"[": 1, "{": 1, "]": -1, "}": -1}.get(match.group(), 0)
        deepest = max(deepest, level)
    return deepest


def _refused(code: str, message: str) -> Refused:
    return Refused.one("document", code, message)


def _constant(word: str) -> _Unusable:
    return _Unusable("not-finite", f"{word} is no JSON number: give a finite one")


def _whole(digits: str) -> int | _Unusable:
    return int(digits) if len(digits) <= LONGEST_DIGITS else _too_large()


def _real(digits: str) -> float | _Unusable:
    number = float(digits)
    return number if math.isfinite(number) else _too_large()


def _too_large() -> _Unusable:
    return _Unusable("not-finite", "too large for a number: give a finite one")


def _plain_document(parsed: Any) -> dict[str, Any]:
    problems: list[Problem] = []

    def refuse(path: Path, code: str, message: str) -> None:
        problems.append(Problem(dotted(path), code, message))

    document = _plain(parsed, (), refuse)
    if not isinstance(parsed, _Object):
        raise _refused("not-an-object", "the text must hold one JSON object, {...}")
    if problems:
        raise Refused(problems)
    return document


def _plain(given: Any, path: Path, refuse: Callable[[Path, str, str], None]) -> Any:
    match given:
        case _Object(pairs):
            return dict(_members(pairs, path, refuse))
        case list():
            return [_plain(item, (*path, position), refuse) for position, item in enumerate(given)]
        case _Unusable(code, message):
            refuse(path, code, message)
        case str() if not is_text(given):
            refuse(path, "broken-character", "holds half of a surrogate pair: type the character again")
    return given


def _members(
    pairs: list[tuple[str, Any]], path: Path, refuse: Callable[[Path, str, str], None]
) -> Iterator[tuple[str, Any]]:
    seen: set[str] = set()
    for key, given in pairs:
        here = (*path, key)
        if key in seen:
            refuse(here, "repeated-key", "given twice: keep one")
        if not is_text(key):
            refuse(here, "broken-character", "the key holds half of a surrogate pair: type it again")
        seen.add(key)
        yield key, _plain(given, here, refuse)


def is_text(text: str) -> bool:
    """Whether every character can be written as UTF-8 (no lone surrogate)."""
    return not any("\ud800" <= character <= "\udfff" for character in text)
