"""The designs the demo's workshop has in hand: some years of ideas, two of them on the bench. Nothing here is real."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from routing.head_starts import make_head_starts
from routing.models import Build
from routing.prototypes import make_prototype
from routing.services import done_task, start_task
from routing.workdays import WorkCalendar
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


BLANKS = (("Turnstone", 4, 45), ("Turnstone", 4, 19), ("Curlew", 2, 30), ("Avocet", 2, 3))
"""Neck blanks made ahead: of which pattern, how many, begun how many days ago."""


def blanks_made_ahead(patterns: Mapping[str, Pattern], person: Person, calendar: WorkCalendar, now: datetime) -> None:
    """Every batch of blanks worked as far as its rests allow."""
    for name, pieces, days_ago in BLANKS:
        begun = calendar.next_work_moment(now - timedelta(days=days_ago))
        work = make_head_starts(pattern=patterns[name], pieces=pieces, person=person, now=begun)
        while (task := work.tasks.ready(now).order_by("position").first()) is not None:
            at = calendar.next_work_moment(task.ready_at)
            over = calendar.add_work(at, task.usual_h)
            if over > now:
                break
            start_task(task_id=task.pk, person=person, now=at)
            done_task(task_id=task.pk, person=person, now=over)


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
