"""The designs the demo's workshop has in hand: some years of ideas, two of them on the bench. Nothing here is real."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from routing.models import Build
from routing.prototypes import make_prototype
from shop.management.demo.changes import changed
from shop.people.models import Person
from specs.designs import add_idea, move_pattern
from specs.models import Pattern, Stage


@dataclass(frozen=True)
class Thought:
    """A design: its name, the pattern it begins with, what changes, why it moved so far, and since when."""

    name: str
    like: str
    about: str
    days_ago: int
    moves: tuple[tuple[str, str], ...] = ()
    changes: tuple[tuple[str, object], ...] = ()
    prototypes: int = 0


THOUGHTS = (
    Thought("Whimbrel", "Turnstone", "37.5 in on the low side for a string below B", 700,
            changes=(("scale.bass", "37 1/2 in"),)),
    Thought("Ruff", "Curlew", "four strings with a torrefied neck", 410),
    Thought("Knot", "Turnstone", "wenge neck of seven pieces, asked for three times this year", 260,
            (("drawing", "three customers asked"),), (("neck.wood", "wenge"), ("neck.pieces", 7))),
    Thought("Phalarope", "Oystercatcher", "flat top in place of the carved one, a day less at the body bench", 190,
            (("drawing", "the carving holds the bench up"), ("prototype", "drawn and agreed")),
            (("body.top", "flat"),), 1),
    Thought("Godwit", "Avocet", "six strings in solid colour", 330,
            (("drawing", "a dealer would take six"), ("prototype", "drawn"), ("trial", "two players have it")), (), 1),
    Thought("Smew", "Curlew", "a short four that nobody asked for", 640, (("resting", "no time, and no one asked"),)),
)  # fmt: skip


def designs_in_hand(patterns: Mapping[str, Pattern], person: Person, now: datetime) -> None:
    """Every thought written down, moved and prototyped on its days."""
    for thought in THOUGHTS:
        _live(thought, patterns[thought.like], person, now - timedelta(days=thought.days_ago))


def _live(thought: Thought, like: Pattern, person: Person, began: datetime) -> None:
    document = changed(like.document, thought.changes)
    design = add_idea(
        name=thought.name, about=thought.about, document=document, line=like.line, person=person, now=began
    )
    for place, (stage, reason) in enumerate(thought.moves, start=1):
        at = began + timedelta(days=30 * place)
        design = move_pattern(pattern=design, was=design.stage, stage=stage, reason=reason, person=person, now=at)
        if stage == Stage.PROTOTYPE:
            _begin(design, thought.prototypes, person, at)


def _begin(design: Pattern, count: int, person: Person, at: datetime) -> list[Build]:
    return [make_prototype(pattern=design, person=person, now=at) for _each in range(count)]
