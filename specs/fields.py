"""How one value of the spec document is written, bounded, labelled and defaulted.

The dataclasses of ``document.py`` are declared with these; the parser, the JSON Schema, the order form
and the difference between two specs all walk the same declarations, so none can disagree with another.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any


class _Required:
    """The mark of a field without a default."""

    def __repr__(self) -> str:
        return "REQUIRED"


REQUIRED = _Required()


@dataclass(frozen=True)
class ByStrings:
    """A default that depends on the number of strings; counts not named take the nearest one named."""

    values: Mapping[int, Any]

    def for_count(self, strings: int) -> Any:
        """The default for an instrument of that many strings."""
        return self.values[min(self.values, key=lambda count: (abs(count - strings), count))]


@dataclass(frozen=True)
class Length:
    """A length within [low, high] mm; ``signed`` admits a minus sign; ``or_null`` admits null (say what it means)."""

    low: float
    high: float
    signed: bool = False
    or_null: str = ""


@dataclass(frozen=True)
class Whole:
    """A whole number within [low, high]."""

    low: int
    high: int


@dataclass(frozen=True)
class Number:
    """A real number within [low, high]; ``open_ends`` excludes both ends; ``unit`` is shown; ``words`` also count."""

    low: float
    high: float
    unit: str = ""
    open_ends: bool = False
    words: tuple[str, ...] = ()
    or_null: str = ""


@dataclass(frozen=True)
class Choice:
    """One word of a closed list."""

    values: tuple[str, ...]


@dataclass(frozen=True)
class Flag:
    """true or false."""


@dataclass(frozen=True)
class Pitch:
    """A letter A-G, optional # or b, and an octave: ``B0``, ``F#1``, ``Bb0``."""


@dataclass(frozen=True)
class Text:
    """Free words of a length within [shortest, longest]; never read by a computation."""

    longest: int = 200
    shortest: int = 0


@dataclass(frozen=True)
class PerString:
    """A list with one value per string, bass to treble; ``or_null`` admits null for the whole list,
    ``holes`` null for one string, ``or_one`` a single value standing for every string."""

    of: Any
    or_null: str = ""
    holes: bool = False
    or_one: bool = False


@dataclass(frozen=True)
class ListOf:
    """A list of values or of sections."""

    of: Any
    shortest: int = 0
    longest: int = 12


def value(kind: Any, label: str, default: Any = REQUIRED, *, key: str = "", help: str = "") -> Any:
    """Declare one value of a section; ``key`` is its name in the document where it differs from the attribute."""
    return dataclasses.field(metadata={"kind": kind, "label": label, "default": default, "key": key, "help": help})


def section(of: type, label: str, *, required: bool = False) -> Any:
    """Declare a nested section; an optional one is filled with the defaults of its values."""
    return dataclasses.field(metadata={"kind": of, "label": label, "required": required, "key": "", "help": ""})


@dataclass(frozen=True)
class Declared:
    """One declared value or section: its attribute, its key in the document, and what was said about it."""

    attribute: str
    key: str
    label: str
    kind: Any
    default: Any
    help: str

    @property
    def is_section(self) -> bool:
        """Whether the kind is a nested section rather than a value."""
        return isinstance(self.kind, type)

    @property
    def required(self) -> bool:
        """Whether a document must hold the key."""
        return self.default is REQUIRED

    def default_for(self, strings: int) -> Any:
        """The default as a document writes it, for that many strings; an optional section is an empty object."""
        default = self.default.for_count(strings) if isinstance(self.default, ByStrings) else self.default
        return list(default) if isinstance(default, tuple) else default


@cache
def declared(section_class: type) -> tuple[Declared, ...]:
    """Everything a section declares, in document order."""
    return tuple(_declared(field) for field in dataclasses.fields(section_class))


def _declared(field: dataclasses.Field[Any]) -> Declared:
    said = field.metadata
    absent = REQUIRED if said.get("required") else {}
    return Declared(
        field.name, said["key"] or field.name.removesuffix("_mm"), said["label"], said["kind"],
        said.get("default", absent), said["help"],
    )  # fmt: skip
