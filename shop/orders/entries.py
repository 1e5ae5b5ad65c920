"""How a spec document is typed into the flat fields of a form, and how such fields are read back into a document.

A field's name is the dotted path of its value. What was typed is kept as it was typed, wrong or not: the parser of the
spec document says what is wrong with it. Only what looks like a number, where a number belongs, becomes one.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from specs.document import BuildSpec
from specs.fields import Declared, Flag, Length, ListOf, Number, PerString, Pitch, Text, Whole, declared
from specs.units import decimal_inches, length_mm

Document = dict[str, Any]
Fields = Mapping[str, str]

IN_INCHES = ("scale.bass", "scale.treble", "strings.gauges", "fingerboard.radius_nut", "fingerboard.radius_end")
"""Lengths the trade writes in inches (common practice); the others are written in mm."""

YES, NO = "yes", "no"
USUAL_STRINGS = 5
MOST_PICKUPS = 3
LONGEST = 2000
_NUMBER = re.compile(r"-?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE]-?[0-9]{1,3})?")


def fields_of(document: Mapping[str, Any]) -> dict[str, str]:
    """Every field of the form with the text that stands in it; what the document leaves out has its default."""
    return dict(_section_fields(BuildSpec, document, "", strings_in(document)))


def document_of(fields: Fields, kept: Mapping[str, Any]) -> Document:
    """The document the fields spell; a field that was not sent keeps what ``kept`` holds."""
    before = fields_of(kept) if kept else {}
    count = _how_many(fields, "strings.tuning") or strings_in(kept)
    return _read_section(BuildSpec, before | _cleaned(fields), "", count)


def as_typed(document: Mapping[str, Any]) -> Document:
    """The document with its lengths written as people write them; it orders the same instrument."""
    return document_of(fields_of(document), {})


def strings_in(document: Mapping[str, Any]) -> int:
    """How many strings the document lists; the usual number where it lists none."""
    strings = document.get("strings")
    tuning = strings.get("tuning") if isinstance(strings, Mapping) else None
    return len(tuning) if isinstance(tuning, list) and tuning else USUAL_STRINGS


def is_per_string(item: Declared) -> bool:
    """Whether the value is a list with one entry for every string."""
    return isinstance(item.kind, PerString) or (isinstance(item.kind, ListOf) and isinstance(item.kind.of, Pitch))


def is_blocks(item: Declared) -> bool:
    """Whether the value is a list of sections, each a block of the form."""
    return isinstance(item.kind, ListOf) and isinstance(item.kind.of, type)


def joined(*parts: str | int) -> str:
    """The dotted path of those parts; empty ones fall out."""
    return ".".join(str(part) for part in parts if part != "")


# document → fields


def _section_fields(of: type, given: Any, path: str, count: int) -> Iterator[tuple[str, str]]:
    section = given if isinstance(given, Mapping) else {}
    for item in declared(of):
        value = section.get(item.key, "" if item.required else item.default_for(count))
        yield from _fields(item, value, joined(path, item.key), count)


def _fields(item: Declared, value: Any, path: str, count: int) -> Iterator[tuple[str, str]]:
    if item.is_section:
        yield from _section_fields(item.kind, value, path, count)
    elif is_blocks(item):
        blocks = value if isinstance(value, list) else []
        yield path, str(len(blocks))
        for at, block in enumerate(blocks):
            yield from _section_fields(item.kind.of, block, joined(path, at), count)
    elif is_per_string(item):
        for at, entry in enumerate(_entries(value, count)):
            yield joined(path, at), _shown(item.kind.of, entry, path)
    else:
        yield path, _shown(item.kind, value, path)


def _entries(value: Any, count: int) -> list[Any]:
    """One entry for every string: a single value stands for all, missing ones are empty."""
    entries = list(value) if isinstance(value, list) else [value] * count
    return (entries + [None] * count)[:count]


def _shown(kind: Any, value: Any, path: str) -> str:
    if value is None:
        return ""
    if isinstance(kind, Flag):
        return YES if value is True else NO
    if isinstance(value, str):
        return value
    if isinstance(value, bool) or not isinstance(value, int | float):
        return ", ".join(map(str, value)) if isinstance(value, list) else json.dumps(value)
    return _shown_length(value, path) if isinstance(kind, Length) else _plain(value)


def _shown_length(mm: float, path: str) -> str:
    if path.startswith(IN_INCHES):
        inches = decimal_inches(mm, 4)
        number, unit = inches.split(" ")
        shorter = f"{number.rstrip('0').rstrip('.') if '.' in number else number} {unit}"
        if length_mm(shorter) == mm:
            return _gauge(shorter) if path.startswith("strings.") else shorter
    return f"{_plain(mm)} mm"


def _gauge(inches: str) -> str:
    """A gauge has three decimals at least: .130 in."""
    number, unit = inches.split(" ")
    whole, _, decimals = number.partition(".")
    return f"{whole}.{decimals:0<3} {unit}"


def _plain(value: float) -> str:
    text = format(Decimal(repr(value)), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def worded(path: str, value: Any) -> str:
    """A value of a completed document as its field would show it; a dash where there is none."""
    kind = _kind_at(path)
    entries = value if isinstance(value, list) else [value]
    texts = [_shown(kind, entry, path) for entry in entries if not isinstance(entry, Mapping)]
    named = [str(entry.get("name", "…")) for entry in entries if isinstance(entry, Mapping)]
    return ", ".join(filter(None, [*texts, *named])) or "–"


def labelled(path: str) -> str:
    """The label of the value at a path, or of the nearest above it; the path itself where nothing is declared."""
    kind, label = BuildSpec, path
    for part in path.split("."):
        item = next((item for item in declared(kind) if item.key == part), None) if isinstance(kind, type) else None
        label = item.label if item else label
        kind = item.kind if item else getattr(kind, "of", None)
    return label


def _kind_at(path: str) -> Any:
    """The kind of the single values at a path."""
    kind: Any = BuildSpec
    for part in path.split("."):
        if isinstance(kind, type):
            kind = next((item.kind for item in declared(kind) if item.key == part), None)
        elif part.isdigit():
            kind = getattr(kind, "of", None)
    return getattr(kind, "of", kind)


# fields → document


def _cleaned(fields: Fields) -> dict[str, str]:
    """The fields without what no database holds: broken characters and texts beyond any limit."""
    return {name: text.replace("\x00", "\ufffd")[:LONGEST] for name, text in fields.items()}


def _how_many(fields: Fields, path: str) -> int:
    count = 0
    while joined(path, count) in fields:
        count += 1
    return count


def _read_section(of: type, fields: Fields, path: str, count: int) -> Document:
    return {item.key: _read(item, fields, joined(path, item.key), count) for item in declared(of)}


def _read(item: Declared, fields: Fields, path: str, count: int) -> Any:
    if item.is_section:
        return _read_section(item.kind, fields, path, count)
    if is_blocks(item):
        blocks = min(_whole(fields.get(path, "")), item.kind.longest)
        return [_read_section(item.kind.of, fields, joined(path, at), count) for at in range(blocks)]
    if is_per_string(item):
        return _read_per_string(item.kind, [fields.get(joined(path, at), "") for at in range(count)])
    if isinstance(item.kind, ListOf):
        return [value_of(item.kind.of, part) for part in fields.get(path, "").replace(",", " ").split()]
    return value_of(item.kind, fields[path]) if path in fields else item.default_for(count) if not item.required else ""


def _read_per_string(kind: PerString | ListOf, texts: list[str]) -> list[Any] | None:
    if getattr(kind, "or_null", "") and not any(text.strip() for text in texts):
        return None
    holes = getattr(kind, "holes", False)
    return [None if holes and not text.strip() else value_of(kind.of, text) for text in texts]


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0


def value_of(kind: Any, text: str) -> Any:
    """What a document holds for that text in a field of that kind."""
    if isinstance(kind, Flag):
        return text == YES
    if isinstance(kind, Text):
        return text.replace("\r\n", "\n")
    text = text.strip()
    if not text and getattr(kind, "or_null", ""):
        return None
    return _number(text) if isinstance(kind, Number | Whole) else text


def _number(text: str) -> int | float | str:
    if len(text) > 40 or not _NUMBER.fullmatch(text):
        return text
    number = float(text)
    if not math.isfinite(number):
        return text
    return int(text) if re.fullmatch("-?[0-9]+", text) else number
