"""What changed between two completed spec documents, in the words of the declarations."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from specs.document import BuildSpec
from specs.fields import ListOf, PerString, declared
from specs.strict_json import Path, dotted

_ABSENT = object()


@dataclass(frozen=True)
class Difference:
    """One changed value: its dotted path, its label for people, what it was and what it is (None where absent)."""

    path: str
    label: str
    old: Any
    new: Any


def differences(old: Mapping[str, Any], new: Mapping[str, Any]) -> tuple[Difference, ...]:
    """Every changed value of two completed documents, in document order; lengths in mm.

    Lists of one length are compared entry by entry, lists of values of unlike length as a whole. A key that only one
    of the documents has (an option added since) counts as changed.
    """
    return tuple(_sections(BuildSpec, old, new, (), ()))


def _sections(section_class: type, old: Any, new: Any, path: Path, labels: tuple[str, ...]) -> Iterator[Difference]:
    for item in declared(section_class):
        before, after = old.get(item.key, _ABSENT), new.get(item.key, _ABSENT)
        yield from _of_kind(item.kind, before, after, (*path, item.key), (*labels, item.label))


def _of_kind(kind: Any, old: Any, new: Any, path: Path, labels: tuple[str, ...]) -> Iterator[Difference]:
    if old == new:
        return
    if isinstance(kind, type) and isinstance(old, Mapping) and isinstance(new, Mapping):
        yield from _sections(kind, old, new, path, labels)
    elif isinstance(kind, PerString | ListOf) and _comparable(kind, old, new):
        for at in range(max(len(old), len(new))):
            label = (*labels[:-1], _entry_label(kind, labels[-1], at, len(new)))
            yield from _of_kind(kind.of, _entry(old, at), _entry(new, at), (*path, at), label)
    else:
        yield Difference(dotted(path), ": ".join(labels), *(None if side is _ABSENT else side for side in (old, new)))


def _comparable(kind: PerString | ListOf, old: Any, new: Any) -> bool:
    lists = isinstance(old, list) and isinstance(new, list)
    return lists and (isinstance(kind.of, type) or len(old) == len(new))


def _entry(items: list[Any], at: int) -> Any:
    return items[at] if at < len(items) else _ABSENT


def _entry_label(kind: PerString | ListOf, label: str, at: int, count: int) -> str:
    """Strings by their trade number (1 is the highest), anything else counted from 1."""
    per_string = isinstance(kind, PerString) or label == "Tuning"
    return f"{label}, string {count - at}" if per_string else f"{label}, {at + 1}"
