"""The door a spec document comes in by: JSON text to a document, a document to a BuildSpec or every problem it has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from specs.agreement import FAILED, Found, disagreements, gauges_for_tunings, string_count
from specs.document import MOST_STRINGS, BuildSpec
from specs.errors import Problem, Refused
from specs.fields import Declared, ListOf, PerString, declared
from specs.reading import Wrong, nearest, read_value, shown, wanted
from specs.strict_json import Path, dotted, read_json

__all__ = ["parse", "read_json"]

USUAL_STRINGS = 5


def parse(document: Mapping[str, Any]) -> BuildSpec:
    """The instrument a document orders, every default filled in.

    Raises Refused with every problem at once in document order, each at its dotted path. The document may hold any
    JSON value whatever. **Source**: public format, version 1.
    """
    if not isinstance(document, Mapping):
        raise Refused.one("document", "not-an-object", "a spec is one JSON object, {...}")
    reading = _Reading(string_count(document))
    spec = reading.section(BuildSpec, document, ())
    found = [*reading.found, *gauges_for_tunings(document), *disagreements(spec, reading.count)]
    if found:
        raise Refused(Problem(dotted(item.path), item.code, item.message) for item in sorted(found, key=_place))
    return spec


class _Reading:
    """One walk over the declarations; notes every problem, puts FAILED where a value could not be read."""

    def __init__(self, count: int | None) -> None:
        self.count = count
        self.found: list[Found] = []

    def section(self, section_class: type, given: Any, path: Path) -> Any:
        if not isinstance(given, Mapping):
            return self._refuse(path, "not-an-object", f"give an object {{...}}, not {shown(given)}")
        for key in given:
            self._refuse_unknown(section_class, key, path)
        return section_class(**{item.attribute: self._item(item, given, path) for item in declared(section_class)})

    def _refuse_unknown(self, section_class: type, key: Any, path: Path) -> None:
        known = [item.key for item in declared(section_class)]
        if key not in known:
            message = f"unknown key: take it out{nearest(str(key), known)}"
            self._refuse((*path, key), "unknown-key", message)

    def _item(self, item: Declared, given: Mapping[str, Any], path: Path) -> Any:
        here = (*path, item.key)
        if item.key in given:
            return self._value(item.kind, given[item.key], here)
        if item.required:
            return self._refuse(here, "missing", f"required: give {_wanted(item.kind)}")
        return self._value(item.kind, item.default_for(self.count or USUAL_STRINGS), here)

    def _value(self, kind: Any, given: Any, path: Path) -> Any:
        match kind:
            case type():
                return self.section(kind, given, path)
            case PerString():
                return self._per_string(kind, given, path)
            case ListOf():
                return self._list(kind, given, path)
        try:
            return read_value(kind, given)
        except Wrong as wrong:
            return self._refuse(path, wrong.code, str(wrong))

    def _per_string(self, kind: PerString, given: Any, path: Path) -> Any:
        if given is None and kind.or_null:
            return None
        if kind.or_one and not isinstance(given, list | tuple):
            one = self._value(kind.of, given, path)
            return one if one is FAILED else (one,) * (self.count or 1)
        if not isinstance(given, list | tuple):
            return self._refuse(path, "not-a-list", f"give a list with {wanted(kind.of)} for each string")
        if len(given) > MOST_STRINGS or (self.count is not None and len(given) != self.count):
            many = f"{self.count} values" if self.count else f"at most {MOST_STRINGS} values"
            return self._refuse(path, "count", f"{len(given)} values: give {many}, one for each string")
        return self._items(kind.of, given, path, holes=kind.holes)

    def _list(self, kind: ListOf, given: Any, path: Path) -> Any:
        if not isinstance(given, list | tuple):
            return self._refuse(path, "not-a-list", f"give a list [...], not {shown(given)}")
        if len(given) > kind.longest:
            return self._refuse(path, "count", f"{len(given)} entries: give {kind.shortest} to {kind.longest}")
        items = self._items(kind.of, given, path)
        if len(given) < kind.shortest:
            return self._refuse(path, "count", f"{len(given)} entries: give {kind.shortest} to {kind.longest}")
        return items

    def _items(self, kind: Any, given: Any, path: Path, holes: bool = False) -> Any:
        read = tuple(
            None if item is None and holes else self._value(kind, item, (*path, position))
            for position, item in enumerate(given)
        )
        whole = isinstance(kind, type) or not any(item is FAILED for item in read)
        return read if whole else FAILED

    def _refuse(self, path: Path, code: str, message: str) -> Any:
        self.found.append(Found(path, code, message))
        return FAILED


def _wanted(kind: Any) -> str:
    if isinstance(kind, type):
        return "an object with " + ", ".join(item.key for item in declared(kind) if item.required)
    if isinstance(kind, PerString):
        return f"a list with {wanted(kind.of)} for each string"
    if isinstance(kind, ListOf) and not isinstance(kind.of, type):
        return f"a list, each {wanted(kind.of)}"
    return wanted(kind)


def _place(found: Found) -> list[int]:
    """Where the path stands in document order; keys not declared come last in their section."""
    place: list[int] = []
    kind: Any = BuildSpec
    for part in found.path:
        if isinstance(kind, type):
            items = declared(kind)
            position = next((at for at, item in enumerate(items) if item.key == part), len(items))
            kind = items[position].kind if position < len(items) else None
        else:
            position, kind = int(part), getattr(kind, "of", None)
        place.append(position)
    return place
