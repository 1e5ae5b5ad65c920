"""What an order as typed amounts to: problems, the instrument, its findings, work, dates, stuff and what differs."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property, lru_cache
from typing import Any

from django.utils import timezone

from routing.adjustments import CATALOGUE_ONLY, EstimateTable
from routing.dates import BuildDates, earliest_dates, total_touch, touch_totals
from routing.expand import ExpandedTask, Touch, build_rows
from routing.planning.rota import shop_calendar
from specs.canonical import complete
from specs.derive import derive
from specs.derived import Derived, Finding, Material
from specs.differences import Difference, differences
from specs.errors import Problem, Refused
from specs.facts import OrderFacts
from specs.materials import materials
from specs.models import Spec
from specs.numbers import Figure, headlines
from specs.parsing import parse
from specs.released import kept
from specs.rules import RULES, check, reweighed
from specs.tables import load_tables
from specs.wood.mass import Forecast, forecast
from specs.wood.planks import measured_kg_m3

ERROR, WARNING, NOTE = "error", "warning", "note"
KEPT = 128
"""Documents whose answer a process keeps at hand: an order looked at again is not computed again."""

Caution = tuple[str, str, str]
"""Rule, field and message: a caution initialled for one figure is open again for another."""


@dataclass(frozen=True)
class Checked:
    """Everything an order's form answers; without ``derived`` the problems say why there is no instrument."""

    problems: tuple[Problem, ...] = ()
    derived: Derived | None = None
    findings: tuple[Finding, ...] = ()
    initialled: frozenset[Caution] = frozenset()
    materials: tuple[Material, ...] = ()
    tasks: tuple[ExpandedTask, ...] = ()
    dates: BuildDates | None = None
    weight: Forecast | None = None
    brief: tuple[tuple[str, Figure], ...] = ()
    """The further figures that decide early, each with its group."""
    differences: tuple[Difference, ...] = ()

    @property
    def errors(self) -> tuple[Finding, ...]:
        """Findings that stop the order."""
        return self._of(ERROR)

    @property
    def cautions(self) -> tuple[Finding, ...]:
        """Warnings nobody has initialled yet."""
        return tuple(finding for finding in self._of(WARNING) if caution(finding) not in self.initialled)

    @property
    def answered(self) -> tuple[Finding, ...]:
        """Warnings somebody has initialled."""
        return tuple(finding for finding in self._of(WARNING) if caution(finding) in self.initialled)

    @property
    def notes(self) -> tuple[Finding, ...]:
        """Findings the bench is told of."""
        return self._of(NOTE)

    @property
    def stops(self) -> tuple[Problem, ...]:
        """Everything that keeps the order from being placed."""
        return (*self.problems, *(Problem(error.field, error.rule, error.message) for error in self.errors))

    @property
    def rules(self) -> int:
        """How many rules there are."""
        return len(RULES)

    @property
    def silent(self) -> int:
        """How many rules had nothing to say."""
        return len(RULES) - len(self.findings)

    @cached_property
    def touch_h(self) -> Touch | None:
        """Hands-on hours: low, usual, high."""
        return total_touch(self.tasks) if self.tasks else None

    @cached_property
    def touch_by_station(self) -> Mapping[str, Touch]:
        """Hands-on hours by station."""
        return touch_totals(self.tasks)

    def _of(self, severity: str) -> tuple[Finding, ...]:
        return tuple(finding for finding in self.findings if finding.severity == severity)


def caution(finding: Finding) -> Caution:
    """What initials are given for."""
    return finding.rule, finding.field, finding.message


def check_entered(
    entered: Mapping[str, Any],
    facts: OrderFacts,
    *,
    now: datetime | None = None,
    initialled: Iterable[Caution] = (),
    start: Mapping[str, Any] | None = None,
    estimates: EstimateTable = CATALOGUE_ONLY,
) -> Checked:
    """The answer to a document as typed; ``start`` is the document it is compared with, as typed or completed, and
    ``estimates`` the hours accepted in place of the catalogue's."""
    text = json.dumps(entered)
    try:
        computed = _computed(text, facts, estimates)
    except Refused as refused:
        return Checked(problems=refused.problems)
    return replace(
        computed,
        initialled=frozenset(initialled),
        dates=earliest_dates(computed.tasks, shop_calendar(), now or timezone.now()),
        differences=() if start is None else _differences(json.dumps(start), text),
    )


@lru_cache(maxsize=KEPT)
def _computed(entered: str, facts: OrderFacts, estimates: EstimateTable) -> Checked:
    """What follows from a document and its order's facts alone, as long as the process reads the same tables."""
    spec = parse(json.loads(entered))
    derived = derive(spec, load_tables())
    densities = measured_kg_m3(spec, facts.planks)
    return Checked(
        derived=derived,
        findings=check(derived, facts),
        materials=materials(derived),
        tasks=build_rows(spec, facts, estimates),
        weight=forecast(derived, densities),
        brief=headlines(derived, densities=densities),
    )


def checked_release(
    spec: Spec, facts: OrderFacts, start: Mapping[str, Any] | None, estimates: EstimateTable = CATALOGUE_ONLY
) -> Checked:
    """The answer kept with a released revision; no dates, for its build has its own."""
    begun = None if start is None else json.dumps(start)
    return kept_answer(spec.pk, spec.digest, spec.released_at, facts, begun, estimates)


@lru_cache(maxsize=KEPT)
def kept_answer(
    pk: int, digest: str, released_at: datetime, facts: OrderFacts, start: str | None, estimates: EstimateTable
) -> Checked:
    """What a release of that row, digest and moment amounts to, computed the first time it is asked for."""
    release = kept(pk, digest, released_at)
    made = release.instrument
    densities = measured_kg_m3(made.spec, facts.planks)
    return Checked(
        derived=made,
        findings=reweighed(release.findings, made, facts),
        materials=materials(made),
        tasks=build_rows(made.spec, facts, estimates),
        weight=forecast(made, densities),
        brief=headlines(made, densities=densities),
        differences=() if start is None else _differences(start, json.dumps(complete(made.spec))),
    )


def changed_paths(start: Mapping[str, Any] | None, entered: Mapping[str, Any]) -> tuple[str, ...]:
    """The dotted paths at which a document differs from the one it starts from; none while it has problems."""
    found = () if start is None else _differences(json.dumps(start), json.dumps(entered))
    return tuple(difference.path for difference in found)


@lru_cache(maxsize=KEPT)
def _differences(start: str, entered: str) -> tuple[Difference, ...]:
    try:
        return differences(complete(parse(json.loads(start))), complete(parse(json.loads(entered))))
    except Refused:
        return ()
