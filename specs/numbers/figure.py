"""What one figure is when it is shown: its words, value and unit, where it was found, how, and the limit it keeps."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from specs.rules.rule import over, under

GEOMETRY, PRACTICE = "plane geometry", "common practice, no source"
AT_LEAST, AT_MOST = "at least", "at most"


@dataclass(frozen=True)
class Place:
    """Where a figure was found: a word such as ``fret`` or a wood, and a number where there is one."""

    kind: str
    number: int | None = None


@dataclass(frozen=True)
class Limit:
    """``at least`` or ``at most`` a value in the figure's own unit."""

    word: str
    value: float

    def kept_by(self, value: float) -> bool:
        """Whether a value keeps it, to 0.01 of the unit as everywhere."""
        return not (under if self.word == AT_LEAST else over)(value, self.value)


@dataclass(frozen=True)
class Figure:
    """One figure; words are plain English. Without a value ``lacking`` says why there is none."""

    key: str
    label: str
    value: float | str | None
    unit: str
    how: str
    source: str
    place: Place | None = None
    limit: Limit | None = None
    lacking: str = ""

    @property
    def kept(self) -> bool | None:
        """Whether its limit is kept; None without a limit or a number."""
        if self.limit is None or not isinstance(self.value, int | float):
            return None
        return self.limit.kept_by(self.value)


@dataclass(frozen=True)
class Column:
    """The head of a table's column."""

    label: str
    unit: str = ""


Cell = float | str | None


@dataclass(frozen=True)
class Table:
    """Figures that come by the row, a string, a fret or a part each."""

    key: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True)
class Group:
    """Figures and tables of one subject; ``lacking`` says why there are none, ``note`` what they are good for."""

    key: str
    title: str
    figures: tuple[Figure, ...] = ()
    tables: tuple[Table, ...] = ()
    note: str = ""
    lacking: tuple[str, ...] = ()

    def __getitem__(self, key: str) -> Figure:
        """The figure of that key. Raises KeyError."""
        return {figure.key: figure for figure in self.figures}[key]


def finite(value: float) -> float | None:
    """The value, or None where nothing bounds it."""
    return value if isfinite(value) else None
