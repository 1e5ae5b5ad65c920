"""The words of the operations table: which choices of an order make each of them true.

**Source**: the vocabulary is common practice; how it reads the spec document is fixed with the public format.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from specs.document import BuildSpec
from specs.facts import OrderFacts
from specs.vocabulary import OPEN_PORED_WOODS

Condition = Callable[[BuildSpec, OrderFacts], bool]


def _headstock_glue_up(spec: BuildSpec, facts: OrderFacts) -> bool:
    neck = spec.neck
    return neck.headstock == "angled" or (neck.headstock == "flat" and (neck.ears or neck.headplate))


def _film(spec: BuildSpec, facts: OrderFacts) -> bool:
    return spec.finish.kind != "oil"


def _open_pored(spec: BuildSpec, facts: OrderFacts) -> bool:
    return _film(spec, facts) and spec.finish.pores == "closed" and spec.body.wood in OPEN_PORED_WOODS


WORDS: Mapping[str, Condition] = {
    "custom": lambda spec, facts: facts.line == "custom",
    "series": lambda spec, facts: facts.line == "series",
    "export": lambda spec, facts: facts.export,
    "listed wood needing permit": lambda spec, facts: facts.permit,
    "bolt-on": lambda spec, facts: spec.neck.construction == "bolt-on",
    "neck-through": lambda spec, facts: spec.neck.construction == "neck-through",
    "headstock": lambda spec, facts: spec.neck.headstock != "headless",
    "headless": lambda spec, facts: spec.neck.headstock == "headless",
    "headstock glue-up": _headstock_glue_up,
    "stiffening bars": lambda spec, facts: spec.neck.stiffening_bars,
    "oiled neck": lambda spec, facts: spec.neck.finish == "oil",
    "film neck": lambda spec, facts: spec.neck.finish != "oil",
    "joined body": lambda spec, facts: spec.body.pieces >= 2,
    "chambered": lambda spec, facts: spec.body.chambering != "solid",
    "top wood": lambda spec, facts: spec.body.top != "none",
    "fretted": lambda spec, facts: spec.fingerboard.frets_kind == "fretted",
    "fretless": lambda spec, facts: spec.fingerboard.frets_kind != "fretted",
    "slotted board": lambda spec, facts: spec.fingerboard.frets_kind != "unlined fretless",
    "stainless wire": lambda spec, facts: spec.fingerboard.wire_metal == "stainless",
    "binding": lambda spec, facts: spec.fingerboard.binding != "none",
    "face inlay": lambda spec, facts: spec.fingerboard.inlay not in ("none", "side only"),
    "lacquered board": lambda spec, facts: spec.fingerboard.finish == "film",
    "oil finish": lambda spec, facts: not _film(spec, facts),
    "film finish": _film,
    "2K": lambda spec, facts: spec.finish.kind in ("two-component", "partner polyester"),
    "nitro": lambda spec, facts: spec.finish.kind == "nitrocellulose",
    "water-borne": lambda spec, facts: spec.finish.kind == "water-borne",
    "gloss": lambda spec, facts: spec.finish.sheen in ("gloss", "semi-gloss"),
    "satin": lambda spec, facts: spec.finish.sheen in ("satin", "matt"),
    "dyed": lambda spec, facts: spec.finish.colour in ("dyed", "burst"),
    "burst": lambda spec, facts: spec.finish.colour == "burst",
    "colour": lambda spec, facts: spec.finish.colour not in ("natural", "dyed", "burst"),
    "open-pored wood": _open_pored,
}


def holds(words: Iterable[str], spec: BuildSpec, facts: OrderFacts) -> bool:
    """Whether every word is true of this order; no words hold always."""
    return all(WORDS[word](spec, facts) for word in words)
