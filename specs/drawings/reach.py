"""A date that is not certain: a line from the P50 to the P95 with a stroke at each, and the promised day above it."""

from __future__ import annotations

from typing import NamedTuple

from specs.drawings.canvas import Canvas

WIDE, HIGH, EDGE = 260.0, 26.0, 8.0
MIDDLE = 9.0
STROKES = {"p50": 5.0, "p80": 7.0, "p95": 5.0}


class Reach(NamedTuple):
    """Days from the left end: done in half, four of five, nineteen of twenty cases; promised; None: unknown."""

    p50: float | None
    p80: float | None
    p95: float | None
    promise: float | None = None


def reach(found: Reach, longest: float, *, title: str, told: str, paper: bool = False) -> str:
    """One ``svg`` element on an axis of so many days; what lies before or beyond it is drawn at its end.

    Raises ``ValueError`` for an axis of no length.
    """
    if longest <= 0:
        raise ValueError("an axis needs a length")
    canvas, scale = Canvas(1.0, paper), WIDE / longest

    def at(days: float) -> float:
        return min(max(days, 0.0), longest) * scale

    canvas.line("faint", (0, MIDDLE), (WIDE, MIDDLE))
    if found.p50 is not None:
        canvas.line("curve", (at(found.p50), MIDDLE), (WIDE if found.p95 is None else at(found.p95), MIDDLE))
    for name, half in STROKES.items():
        days = getattr(found, name)
        if days is not None:
            kind = "outline" if name == "p80" else "dimension"
            canvas.line(kind, (at(days), MIDDLE - half), (at(days), MIDDLE + half), name=name)
    if found.promise is not None:
        _promise(canvas, at(found.promise))
    size = (WIDE + 2 * EDGE, HIGH)
    return canvas.svg((-EDGE, 0), (WIDE + EDGE, HIGH), size, title, told, "reach")


def _promise(canvas: Canvas, x: float) -> None:
    """A mark that points at the line from above."""
    tip, top = MIDDLE + 7.5, HIGH - 1
    canvas.arrow((x, tip), ((x - 5, top), (x + 5, top)))
