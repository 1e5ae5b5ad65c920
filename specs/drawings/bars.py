"""A bar of a table row: a length between nothing and the largest of its column."""

from __future__ import annotations

from specs.drawings.canvas import attributes, number

LENGTH, HEIGHT = 100.0, 8.0


def bar(value: float, largest: float, label: str, mark: float | None = None) -> str:
    """One ``svg`` element as long as ``value`` is of ``largest``, with a stroke across at ``mark`` where one is given.

    A value beyond the largest fills the bar; a negative one leaves it empty.
    """
    frame = {"class": "bar", "viewBox": f"0 0 {LENGTH:g} {HEIGHT:g}", "preserveAspectRatio": "none", "role": "img"}
    ground = {"width": f"{LENGTH:g}", "height": f"{HEIGHT:g}", "fill": "currentColor", "fill-opacity": "0.1"}
    filled = {"width": number(_share(value, largest)), "height": f"{HEIGHT:g}", "fill": "currentColor"}
    across = "" if mark is None else _mark(_share(mark, largest))
    name = attributes({"aria-label": label})
    return f"<svg{attributes(frame)}{name}><rect{attributes(ground)}/><rect{attributes(filled)}/>{across}</svg>"


def _share(value: float, largest: float) -> float:
    return 0.0 if largest <= 0 else LENGTH * min(1.0, max(0.0, value / largest))


def _mark(x: float) -> str:
    drawn = {"x1": number(x), "x2": number(x), "y1": "0", "y2": f"{HEIGHT:g}", "stroke": "currentColor"}
    return f"<line{attributes({**drawn, 'stroke-width': '2', 'vector-effect': 'non-scaling-stroke'})}/>"
