"""The window to give this week: weeks until an ordinary instrument leaves, by its finish and neck, from the plan."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from functools import lru_cache
from typing import NamedTuple

from routing.estimating import estimate_table
from routing.expand import build_rows
from routing.plan.problem import PlanRefused
from routing.planning.promising import quote_order
from routing.planning.published import Standing, standing
from specs.document import BuildSpec
from specs.facts import OrderFacts
from specs.parsing import parse
from specs.starters import starter

USUAL_STRINGS = 5
NECKS = ("bolt-on", "neck-through")
FINISHES = ("oil", "two-component", "nitrocellulose")


class Window(NamedTuple):
    """Weeks from today to the day the plan would have it leave, and to the day that would be promised."""

    finish: str
    neck: str
    weeks: int
    promised_weeks: int


def quote_windows(now: datetime) -> list[Window]:
    """A window for each finish and neck the shop can build now; worked out once a version of the plan and day.

    Raises ``NoPlan`` before the first plan.
    """
    here = standing(now)
    if "windows" not in here.known:
        here.known["windows"] = list(_quoted(here, now))
    return here.known["windows"]


def _quoted(here: Standing, now: datetime) -> Iterator[Window]:
    hours = estimate_table()
    for finish in FINISHES:
        for neck in NECKS:
            try:
                promise = quote_order(build_rows(_usual(finish, neck), OrderFacts(), hours), now=now, here=here).promise
            except PlanRefused:
                continue
            days = ((day - here.day).days for day in (promise.bare_on, promise.promised_on))
            yield Window(finish, neck, *(-(-day // 7) for day in days))


@lru_cache
def _usual(finish: str, neck: str) -> BuildSpec:
    spec = parse(starter(USUAL_STRINGS))
    return replace(spec, finish=replace(spec.finish, kind=finish), neck=replace(spec.neck, construction=neck))
