"""Planks weighed by hand for one instrument: of which wood each was, how dense, and which a document still means."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from specs.document import BuildSpec
from specs.wood.faces import seen_wood


@dataclass(frozen=True)
class Plank:
    """A plank in hand: the part it was taken for, its wood, and its own weight over its own size in kg/m³."""

    part: str
    wood: str
    density_kg_m3: float


def plank_woods(spec: BuildSpec) -> dict[str, str]:
    """The wood a document asks for, by part; without a top the face is the body's."""
    return {
        "body": spec.body.wood, "top": seen_wood(spec), "neck": spec.neck.wood, "fingerboard": spec.fingerboard.wood
    }  # fmt: skip


def planks_of(spec: BuildSpec, densities_kg_m3: Mapping[str, float]) -> tuple[Plank, ...]:
    """The planks weighed for a document, by their densities in kg/m³ by part."""
    woods = plank_woods(spec)
    return tuple(Plank(part, woods[part], density) for part, density in densities_kg_m3.items())


def measured_kg_m3(spec: BuildSpec, planks: Iterable[Plank]) -> dict[str, float]:
    """Densities in kg/m³, by part, of the planks that are of the wood the document asks for: another wood is another
    plank, not yet weighed."""
    woods = plank_woods(spec)
    return {plank.part: plank.density_kg_m3 for plank in planks if woods[plank.part] == plank.wood}
