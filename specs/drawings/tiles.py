"""How a true-size drawing is divided over sheets: what each shows, how far neighbours overlap, where they register."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from specs.derived import Point
from specs.errors import Refused

PAPERS_MM = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9)}
"""Sheets laid wide. **Source**: ISO 216; ANSI/ASME Y14.1 size A."""

PAPERS = (*PAPERS_MM, "roll")
MARGIN_MM, SIDE_STRIP_MM, FOOT_MM = 10.0, 18.0, 32.0
OVERLAP_MM = 15.0
ROUND_MM = 4.0
LEAST_HEIGHT_MM = 110.0
MARK_INSET_MM = 12.0


@dataclass(frozen=True)
class Tile:
    """One sheet's window on the drawing, in mm of the instrument; numbered from 1, rows from the top."""

    number: int
    column: int
    row: int
    low: Point
    high: Point

    def holds(self, point: Point, past_mm: float = 0.0) -> bool:
        """Whether a point lies in the window, or no further outside than that."""
        return all(
            low - past_mm <= at <= high + past_mm for low, at, high in zip(self.low, point, self.high, strict=True)
        )

    def meets(self, low: Point, high: Point) -> bool:
        """Whether a rectangle reaches into the window."""
        return all(a <= d and c <= b for a, b, c, d in zip(self.low, self.high, low, high, strict=True))


@dataclass(frozen=True)
class Tiling:
    """All sheets of one drawing: their paper size, windows and the points where neighbours must lie on one another."""

    paper_mm: tuple[float, float]
    columns: int
    rows: int
    tiles: tuple[Tile, ...]

    def on_paper_mm(self, tile: Tile, point: Point) -> Point:
        """Where a point of the instrument lies on a tile's sheet, from its lower left corner; true size."""
        return (
            MARGIN_MM + SIDE_STRIP_MM + point[0] - tile.low[0],
            MARGIN_MM + FOOT_MM + point[1] - tile.low[1],
        )

    @property
    def marks(self) -> tuple[tuple[str, Point], ...]:
        """Registration marks in the middle of every overlap, each named, each shown by all sheets that share it."""
        xs, ys = _places(self.tiles, 0), _places(self.tiles, 1)
        points = dict.fromkeys(
            [*((x, y) for x in xs.shared for y in ys.all), *((x, y) for x in xs.all for y in ys.shared)]
        )
        return tuple((_name(number), point) for number, point in enumerate(points))


@dataclass(frozen=True)
class _Places:
    """Along one axis: the middles of the overlaps, and those with two more near the ends of every window."""

    shared: tuple[float, ...]
    all: tuple[float, ...]


def _places(tiles: tuple[Tile, ...], axis: int) -> _Places:
    lows = sorted({tile.low[axis] for tile in tiles})
    highs = sorted({tile.high[axis] for tile in tiles})
    shared = tuple((low + high) / 2 for low, high in zip(lows[1:], highs, strict=False))
    return _Places(shared, (lows[0] + MARK_INSET_MM, *shared, highs[-1] - MARK_INSET_MM))


def _name(number: int) -> str:
    return f"{chr(ord('A') + number % 26)}{number // 26 + 1}"


def tiling(extent: tuple[Point, Point], paper: str) -> Tiling:
    """Sheets enough for a drawing and a little air round it, a roll being one long sheet.

    Raises Refused for a paper that is none of them.
    """
    if paper not in PAPERS:
        raise Refused.one("paper", "unknown", f"true-size drawings are printed on {', '.join(PAPERS)}")
    (left, bottom), (right, top) = extent
    size = right - left + 2 * ROUND_MM, max(top - bottom + 2 * ROUND_MM, LEAST_HEIGHT_MM)
    paper_mm = PAPERS_MM.get(paper, (size[0] + 2 * MARGIN_MM + SIDE_STRIP_MM, size[1] + 2 * MARGIN_MM + FOOT_MM))
    window = paper_mm[0] - 2 * MARGIN_MM - SIDE_STRIP_MM, paper_mm[1] - 2 * MARGIN_MM - FOOT_MM
    columns, rows = (_count(length, shown) for length, shown in zip(size, window, strict=True))
    start = left - ROUND_MM, _centred(bottom, top, rows, window[1])
    tiles = tuple(
        _tile(number, start, window, column, row)
        for number, (row, column) in enumerate(((r, c) for r in reversed(range(rows)) for c in range(columns)), 1)
    )
    return Tiling(paper_mm, columns, rows, tiles)


def _count(length_mm: float, shown_mm: float) -> int:
    return max(1, ceil((length_mm - OVERLAP_MM) / (shown_mm - OVERLAP_MM) - 1e-9))


def _centred(low: float, high: float, count: int, shown_mm: float) -> float:
    covered_mm = count * (shown_mm - OVERLAP_MM) + OVERLAP_MM
    return (low + high - covered_mm) / 2


def _tile(number: int, start: Point, window: Point, column: int, row: int) -> Tile:
    low = start[0] + column * (window[0] - OVERLAP_MM), start[1] + row * (window[1] - OVERLAP_MM)
    return Tile(number, column, row, low, (low[0] + window[0], low[1] + window[1]))
