"""An SVG drawing in the instrument's own mm, y up: shapes go in, one element comes out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape

from specs.derived import Point
from specs.drawings.style import LETTER_PX, LINES, ink

DECIMALS = 7
"""Coordinates are written to 1e-7 mm, ten times finer than any check of them."""


def number(value: float) -> str:
    """The number with at most seven decimals and no trailing zeros."""
    text = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


@dataclass
class Canvas:
    """Collects shapes; ``px`` is the length in mm that one px of the intended width stands for."""

    px: float
    paper: bool = False
    parts: list[str] = field(default_factory=list)

    def at(self, point: Point) -> tuple[str, str]:
        """The point as written: the only place where y is turned to point down."""
        return number(point[0]), number(-point[1])

    def line(self, kind: str, start: Point, end: Point, width_mm: float | None = None, **names: object) -> None:
        (x1, y1), (x2, y2) = self.at(start), self.at(end)
        ends = {"x1": x1, "y1": y1, "x2": x2, "y2": y2}
        self.parts.append(f"<line{attributes({**ends, **self.stroke(kind, width_mm), **_data(names)})}/>")

    def polygon(self, kind: str, points: tuple[Point, ...], **names: object) -> None:
        corners = " ".join(",".join(self.at(point)) for point in points)
        drawn = {"points": corners, "fill": "none", "stroke-linejoin": "miter", **self.stroke(kind)}
        self.parts.append(f"<polygon{attributes({**drawn, **_data(names)})}/>")

    def polyline(self, kind: str, points: Sequence[Point], **names: object) -> None:
        """A line through points, open at both ends."""
        through = " ".join(",".join(self.at(point)) for point in points)
        drawn = {"points": through, "fill": "none", "stroke-linejoin": "round", **self.stroke(kind)}
        self.parts.append(f"<polyline{attributes({**drawn, **_data(names)})}/>")

    def dot(self, centre: Point, radius_px: float, **names: object) -> None:
        x, y = self.at(centre)
        drawn = {"cx": x, "cy": y, "r": number(radius_px * self.px), "fill": ink(self.paper)}
        self.parts.append(f"<circle{attributes({**drawn, **_data(names)})}/>")

    def ring(self, centre: Point, radius_mm: float, **names: object) -> None:
        """A circle as large as the thing itself, not filled."""
        x, y = self.at(centre)
        drawn = {"cx": x, "cy": y, "r": number(radius_mm), "fill": "none", **self.stroke("outline")}
        self.parts.append(f"<circle{attributes({**drawn, **_data(names)})}/>")

    def arrow(self, tip: Point, back: tuple[Point, Point]) -> None:
        corners = " ".join(",".join(self.at(point)) for point in (tip, *back))
        self.parts.append(f"<polygon{attributes({'points': corners, 'fill': ink(self.paper)})}/>")

    def arc(self, start: Point, end: Point, radius_mm: float, clockwise: bool) -> None:
        (x1, y1), (x2, y2) = self.at(start), self.at(end)
        path = f"M{x1} {y1}A{number(radius_mm)} {number(radius_mm)} 0 0 {int(clockwise)} {x2} {y2}"
        self.parts.append(f"<path{attributes({'d': path, 'fill': 'none', **self.stroke('dimension')})}/>")

    def text(
        self, words: str, at: Point, anchor: str = "middle", turn_deg: float = 0.0, strong: bool = False, kind: str = ""
    ) -> None:
        """Letters whose baseline starts, is centred or ends ``at`` a point, turned counter-clockwise."""
        x, y = self.at(at)
        drawn = {"x": x, "y": y, "text-anchor": anchor, "font-size": number(LETTER_PX * self.px)}
        drawn |= {"font-family": "sans-serif", "fill": ink(self.paper)}
        drawn |= {"font-weight": "700"} if strong else {}
        drawn |= {"transform": f"rotate({number(-turn_deg)} {x} {y})"} if turn_deg else {}
        drawn |= {"class": kind} if kind else {}
        self.parts.append(f"<text{attributes(drawn)}>{escape(words)}</text>")

    def stroke(self, kind: str, width_mm: float | None = None) -> dict[str, str]:
        """The presentation attributes of a line kind, or of a line as wide as the thing itself."""
        line = LINES[kind]
        unit = self.px if self.paper else 1.0
        drawn = {"stroke": ink(self.paper, line.accent), "stroke-width": number(line.width_px * unit)}
        if line.opacity < 1:
            drawn["stroke-opacity"] = number(line.opacity)
        if line.dashes:
            drawn["stroke-dasharray"] = " ".join(number(dash * line.width_px * unit) for dash in line.dashes)
        if width_mm is not None:
            return {**drawn, "stroke-width": number(width_mm)}
        return drawn if self.paper else {**drawn, "vector-effect": "non-scaling-stroke"}

    def svg(
        self, low: Point, high: Point, size_px: tuple[float, float], title: str, description: str, kind: str = "drawing"
    ) -> str:
        """The whole element, showing the rectangle between two corners."""
        x, y = self.at((low[0], high[1]))
        frame = {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"{x} {y} {number(high[0] - low[0])} {number(high[1] - low[1])}",
            "width": number(round(size_px[0], 1)),
            "height": number(round(size_px[1], 1)),
            "class": kind,
            "role": "img",
        }
        words = f"<title>{escape(title)}</title><desc>{escape(description)}</desc>"
        return f"<svg{attributes(frame)}>{words}{''.join(self.parts)}</svg>"


def attributes(pairs: dict[str, str]) -> str:
    """The pairs as written inside a tag, each with a space before it."""
    return "".join(f' {name}="{escape(value)}"' for name, value in pairs.items())


def _data(names: dict[str, object]) -> dict[str, str]:
    return {f"data-{name}": str(value) for name, value in names.items()}
