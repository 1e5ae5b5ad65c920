"""The JSON Schema of the spec document, written from the same declarations the parser reads."""

from __future__ import annotations

from typing import Any

from specs.document import FORMAT, MOST_STRINGS, BuildSpec
from specs.fields import (
    ByStrings,
    Choice,
    Declared,
    Flag,
    Length,
    ListOf,
    Number,
    PerString,
    Pitch,
    Text,
    Whole,
    declared,
)
from specs.reading import PITCH
from specs.units import LONGEST_TEXT, length_pattern

DIALECT = "https://json-schema.org/draft/2020-12/schema"

Schema = dict[str, Any]


def json_schema() -> Schema:
    """The schema of a spec document; what one value must agree on with another is beyond it.

    **Source**: JSON Schema 2020-12; ``x-unit`` and ``x-default-by-strings`` are notes of our own.
    """
    return {"$schema": DIALECT, "title": f"Spec document, format {FORMAT}", **_object(BuildSpec)}


def _object(section_class: type) -> Schema:
    items = declared(section_class)
    return {
        "type": "object",
        "properties": {item.key: _property(item) for item in items},
        "required": [item.key for item in items if item.required],
        "additionalProperties": False,
    }


def _property(item: Declared) -> Schema:
    said = {"title": item.label} | ({"description": item.help} if item.help else {})
    return said | _of_kind(item.kind) | _default(item)


def _default(item: Declared) -> Schema:
    if isinstance(item.default, ByStrings):
        return {"x-default-by-strings": {str(count): value for count, value in item.default.values.items()}}
    return {} if item.required else {"default": item.default_for(0)}


def _of_kind(kind: Any) -> Schema:
    """The schema of one kind, null and the single value for all strings admitted where they are."""
    schema = _plain(kind)
    others = [_of_kind(kind.of)] if getattr(kind, "or_one", False) else []
    others += [{"type": "null", "title": kind.or_null}] if getattr(kind, "or_null", "") else []
    return {"anyOf": [schema, *others]} if others else schema


def _plain(kind: Any) -> Schema:
    match kind:
        case type():
            return _object(kind)
        case Length():
            return _length(kind)
        case Number():
            return _number(kind)
        case Whole(low, high):
            return {"type": "integer", "minimum": low, "maximum": high}
        case Choice(values):
            return {"type": "string", "enum": list(values)}
        case Pitch():
            return {"type": "string", "pattern": f"^{PITCH.pattern}$"}
        case Text(longest, shortest):
            return {"type": "string", "minLength": shortest, "maxLength": longest}
        case PerString() | ListOf():
            return _list(kind)
        case Flag():
            return {"type": "boolean"}
    raise TypeError(f"no schema for {kind!r}")


def _length(kind: Length) -> Schema:
    number = {"type": "number", "minimum": kind.low, "maximum": kind.high}
    text = {"type": "string", "pattern": length_pattern(kind.signed), "maxLength": LONGEST_TEXT}
    return {"anyOf": [number, text], "x-unit": "mm"}


def _number(kind: Number) -> Schema:
    low, high = ("exclusiveMinimum", "exclusiveMaximum") if kind.open_ends else ("minimum", "maximum")
    number: Schema = {"type": "number", low: kind.low, high: kind.high}
    number |= {"x-unit": kind.unit} if kind.unit else {}
    return {"anyOf": [number, {"type": "string", "enum": list(kind.words)}]} if kind.words else number


def _list(kind: PerString | ListOf) -> Schema:
    of = _of_kind(kind.of)
    if isinstance(kind, ListOf):
        return {"type": "array", "items": of, "minItems": kind.shortest, "maxItems": kind.longest}
    of = {"anyOf": [of, {"type": "null"}]} if kind.holes else of
    return {"type": "array", "items": of, "maxItems": MOST_STRINGS}
