"""Figures of the body: its size in plan, its litres, its chambers and the wood left round them."""

from __future__ import annotations

from collections.abc import Iterator

from specs.derived import Derived
from specs.geometry.body import BodySize, body_size
from specs.geometry.chambers import (
    LEAST_BACK_MM,
    LEAST_BLOCK_MM,
    LEAST_RIM_MM,
    Skins,
    carved_skins_mm,
    chambers,
    skins,
)
from specs.numbers.figure import AT_LEAST, GEOMETRY, Column, Figure, Group, Limit, Table
from specs.rules.chambers import LEAST_SKIN_MM

CM2, LITRES = "cm²", "l"
SOLID, UNCARVED = "a solid body has no chambers", "no carve runs over a chamber on that face"
NOTE = (
    "The outline is the program's own, drawn as wide as ordered; cavities for pickups and controls are not taken off."
)
LEFT = f"{GEOMETRY}; limits common practice"


def body(derived: Derived) -> Group:
    """The group of the body. Raises Refused where no body can be drawn around the strings."""
    size, hollows, left = body_size(derived), chambers(derived), skins(derived)
    figures = (*_sizes(size), _hollow(sum(hollow.volume_l for hollow in hollows)), *_skins(derived, left))
    return Group("body", "Body", figures, (_table(derived),) if hollows else (), NOTE)


def _sizes(size: BodySize) -> Iterator[Figure]:
    yield Figure("length_mm", "Length", size.length_mm, "mm", "along the centre line, horn to tail", GEOMETRY)
    yield Figure("width_mm", "Width", size.width_mm, "mm", "at its widest, square to the centre line", GEOMETRY)
    yield Figure("thickness_mm", "Thickness", size.thickness_mm, "mm", "as ordered, top included", "the order")
    yield Figure("area_cm2", "Area", size.area_mm2 / 100, CM2, "enclosed by the outline", "Green's theorem, exact")
    how = "area by thickness, less edges and carves"
    yield Figure("volume_l", "Volume before any cavity", size.volume_l, LITRES, how, GEOMETRY)
    yield Figure(
        "edges_l", "Taken off by the edges", size.edges_l, LITRES, "edge's section by the length round", GEOMETRY
    )
    yield Figure(
        "carves_l", "Taken off by the carves", size.carves_l, LITRES, "forearm, belly and heel as planes", GEOMETRY
    )


def _hollow(litres: float) -> Figure:
    how = "outlines of the chambers by their depth"
    source = f"{GEOMETRY}; 0.6 to 1.0 litre is usual, common practice"
    if not litres:
        return Figure("chambers_l", "Chambers", None, LITRES, how, source, lacking=SOLID)
    return Figure("chambers_l", "Chambers", litres, LITRES, how, source)


def _skins(derived: Derived, left: Skins | None) -> Iterator[Figure]:
    if left is None:
        return
    for key, label, value, least in (
        ("rim_mm", "Rim, chamber to edge", left.rim_mm, LEAST_RIM_MM),
        ("to_neck_mm", "Wood, chamber to neck", left.to_neck_mm, LEAST_BLOCK_MM),
        ("to_bridge_mm", "Wood, chamber to bridge line", left.to_bridge_mm, LEAST_BLOCK_MM),
        ("back_mm", "Back under the chambers, before carving", left.back_mm, LEAST_BACK_MM),
    ):
        yield Figure(key, label, value, "mm", "least wood left", LEFT, limit=Limit(AT_LEAST, least))
    carved = carved_skins_mm(derived)
    for face, label in (
        ("face", "Skin over the chambers, once carved"),
        ("back", "Skin under the chambers, once carved"),
    ):
        value, limit = carved.get(face), Limit(AT_LEAST, LEAST_SKIN_MM[face])
        lacking = UNCARVED if value is None else ""
        yield Figure(f"skin_{face}_mm", label, value, "mm", "least wood left", LEFT, limit=limit, lacking=lacking)


def _table(derived: Derived) -> Table:
    columns = Column("Chamber"), Column("Area", CM2), Column("Depth", "mm"), Column("Volume", LITRES)
    return Table("chambers", "Chambers", columns, tuple(
        (hollow.place, hollow.curve.area_mm2 / 100, hollow.depth_mm, hollow.volume_l) for hollow in chambers(derived)
    ))  # fmt: skip
