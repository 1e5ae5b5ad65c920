"""The one table of how lines and letters of a drawing look, on screen and on paper, as presentation attributes.

Line kinds follow ISO 128-2: a thick continuous outline, thin continuous lines for all else, a thin long-dashed dotted
centre line, a thin long-dashed double-dotted line for a neighbouring part; thick to thin is 2 to 1. Dash lengths are
multiples of the line width: long dash 24 (12 on short lines), gap 3, dot 0.5.
"""

from __future__ import annotations

from dataclasses import dataclass

THICK_PX, THIN_PX = 2.0, 1.0
LETTER_PX = 13.0
INK = {"screen": "currentColor", "paper": "#000000"}
ACCENT = {"screen": "#2b86ab", "paper": "#000000"}
"""The screen's accent holds 3 to 1 against the light and the dark ground; on paper the accent is width."""


@dataclass(frozen=True)
class Line:
    """One kind of line: its width in px, dashes in multiples of that width, ink and opacity."""

    width_px: float
    dashes: tuple[float, ...] = ()
    accent: bool = False
    opacity: float = 1.0


LINES = {
    "outline": Line(THICK_PX),
    "fret": Line(THIN_PX),
    "square-fret": Line(THICK_PX, accent=True),
    "string": Line(THIN_PX, opacity=0.5),
    "bridge": Line(THIN_PX),
    "centre": Line(THIN_PX, (24, 3, 0.5, 3), opacity=0.7),
    "pickup": Line(THIN_PX, (12, 3, 0.5, 3, 0.5, 3)),
    "coils": Line(THIN_PX),
    "saddle": Line(THICK_PX),
    "other": Line(THIN_PX, (12, 3)),
    "curve": Line(THICK_PX),
    "faint": Line(THIN_PX, opacity=0.35),
    "dimension": Line(THIN_PX),
    "extension": Line(THIN_PX, opacity=0.7),
}


def ink(paper: bool, accent: bool = False) -> str:
    """The colour of ordinary or of accented lines."""
    return (ACCENT if accent else INK)["paper" if paper else "screen"]
