"""Which wood a customer sees on the body, how thick its top is, and the groups of woods that behave alike."""

from __future__ import annotations

from specs.document import BuildSpec
from specs.vocabulary import OILY_WOODS, ROSEWOOD_FAMILY

USUAL_TOP_MM = {"none": 0.0, "veneer": 1.0, "flat": 6.0, "carved": 14.0}
"""Common practice: veneer 0.6-1.5, flat top 5-8, carved top 12-16 mm."""

DARK_WOODS = (*OILY_WOODS, "walnut", "wenge", "roasted maple", "mahogany", "padauk", "bubinga", "purpleheart")
YELLOWING_WOODS = ("maple", "flame maple", "quilt maple", "maple burl", "spalted maple", "korina")
SOFT_TOPS = ("redwood", "cedar", "poplar burl")
PUNKY_TOPS = ("spalted maple", "maple burl", "poplar burl", "buckeye")
HEAVY_WOODS = ("maple", "wenge", "bubinga", "purpleheart")
SOFT_BOARDS = (*ROSEWOOD_FAMILY, "pau ferro", "maple", "roasted maple")
NEVER_OFFERED = "Brazilian rosewood"

LISTED = {
    "Indian rosewood": "Dalbergia, Appendix II #15",
    "cocobolo": "Dalbergia, Appendix II #15",
    "bubinga": "Guibourtia, Appendix II #15 for three species",
    "padauk": "Pterocarpus, African populations Appendix II #17",
    "khaya": "Khaya, African populations Appendix II #17",
    "mahogany": "Swietenia, Appendix II #6",
    "ebony": "Diospyros, Madagascar populations Appendix II #5",
}
"""Woods of the closed lists that CITES may name; lists change, the Latin name and the authority decide."""


def top_thickness_mm(spec: BuildSpec) -> float:
    """Thickness of the top in mm, the usual one where the order leaves it open; 0 without a top."""
    body = spec.body
    if body.top == "none":
        return 0.0
    return USUAL_TOP_MM[body.top] if body.top_thickness_mm is None else body.top_thickness_mm


def seen_wood(spec: BuildSpec) -> str:
    """The wood of the body's face: the top's, or the core's where there is no top."""
    body = spec.body
    return body.wood if body.top == "none" or body.top_wood == "none" else body.top_wood


def woods_used(spec: BuildSpec) -> tuple[tuple[str, str], ...]:
    """Every wood word of the order with the field that names it; a laminate is told by each of its woods."""
    body = spec.body
    named = [("fingerboard.wood", spec.fingerboard.wood), ("body.wood", body.wood)]
    named += [("body.top_wood", body.top_wood)] if body.top != "none" else []
    return (*named, *(("neck.wood", wood) for wood in spec.neck.wood.split(" and ")))
