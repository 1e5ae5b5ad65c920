"""What a trial plan may change: the one list of kinds, each with its fields and their bounds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from specs.errors import Problem, Refused

MOST_CHANGES = 8
FURTHEST = timedelta(days=730)
LONGEST_CLOSED = timedelta(days=60)

Change = Mapping[str, Any]


@dataclass(frozen=True)
class Kind:
    """A kind of change: its ``keys`` name rows of the database, ``numbers`` lie between bounds, ``days`` lie ahead."""

    slug: str
    label: Any
    keys: Sequence[str] = ()
    numbers: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    days: Sequence[str] = ()


KINDS: tuple[Kind, ...] = (
    Kind("person", gettext_lazy("One more person"), keys=("like",), days=("first",)),
    Kind("place", gettext_lazy("One more place at a station"), keys=("station",), days=("first",)),
    Kind(
        "overtime",
        gettext_lazy("Overtime"),
        keys=("person", "station"),
        numbers={"hours": (1, 15), "weeks": (1, 26)},
        days=("first",),
    ),
    Kind("closed", gettext_lazy("Closed days"), days=("first", "last")),
    Kind(
        "orders",
        gettext_lazy("More orders of a pattern"),
        keys=("pattern",),
        numbers={"count": (1, 50), "weeks": (4, 104)},
        days=("first",),
    ),
    Kind("rush", gettext_lazy("The rush tag on one instrument"), keys=("build",)),
)
EITHER = {"overtime": ("person", "station")}
"""Kinds of which exactly one of the two keys is given; the other is 0."""

BY_SLUG: Mapping[str, Kind] = {kind.slug: kind for kind in KINDS}


def require_changes(changes: Sequence[Change], today: date) -> None:
    """Raises ``Refused`` with everything wrong: unknown kinds and fields, numbers out of bounds, days gone by."""
    problems = [problem for place, change in enumerate(changes) for problem in _problems(str(place), change, today)]
    if not 1 <= len(changes) <= MOST_CHANGES:
        problems.append(Problem("changes", "count", _("Tick what to try, from one to eight things.")))
    if problems:
        raise Refused(problems)


def _problems(place: str, change: Change, today: date) -> Iterator[Problem]:
    kind = BY_SLUG.get(change.get("kind", ""))
    if kind is None:
        yield Problem(f"{place}.kind", "unknown", _("That kind of change is not known."))
        return
    expected = {"kind", *kind.keys, *kind.numbers, *kind.days}
    if change.keys() != expected:
        yield Problem(place, "fields", _("Give exactly: {names}.").format(names=", ".join(sorted(expected))))
        return
    yield from _key_problems(place, kind, change)
    yield from _number_problems(place, kind, change)
    yield from _day_problems(place, kind, change, today)


def _key_problems(place: str, kind: Kind, change: Change) -> Iterator[Problem]:
    for name in kind.keys:
        if not _is_whole(change[name]) or change[name] < 0 or (change[name] == 0 and kind.slug not in EITHER):
            yield Problem(f"{place}.{name}", "missing", _("Choose one."))
    if kind.slug in EITHER and sum(bool(change[name]) for name in EITHER[kind.slug]) != 1:
        yield Problem(f"{place}.{kind.keys[0]}", "either", _("Choose a person or a station, one of the two."))


def _number_problems(place: str, kind: Kind, change: Change) -> Iterator[Problem]:
    for name, (low, high) in kind.numbers.items():
        if not _is_whole(change[name]) or not low <= change[name] <= high:
            yield Problem(
                f"{place}.{name}", "range", _("Give a number from {low} to {high}.").format(low=low, high=high)
            )


def _day_problems(place: str, kind: Kind, change: Change, today: date) -> Iterator[Problem]:
    days = {name: day_of(change[name]) for name in kind.days}
    for name, day in days.items():
        if day is None or not today < day <= today + FURTHEST:
            yield Problem(f"{place}.{name}", "range", _("Give a day from tomorrow on, within two years."))
    first, last = days.get("first"), days.get("last")
    if first and last and not first <= last < first + LONGEST_CLOSED:
        yield Problem(f"{place}.last", "order", _("The last day comes after the first, within sixty days of it."))


def _is_whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def day_of(value: Any) -> date | None:
    """The day of an ISO date; None for anything else."""
    try:
        return date.fromisoformat(value)
    except (TypeError, ValueError):
        return None
