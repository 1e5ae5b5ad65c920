"""One rule's pair of cases: an order on which it fires, with its figure, and a near miss on which it is silent."""

from typing import Any, NamedTuple

import pytest

from specs.derived import Finding
from specs.facts import OrderFacts
from specs.rules import check
from tests.specs.documents import derived

HOME = OrderFacts()
ABROAD = OrderFacts(export=True)
SHOWN_TO = 0.005
"""Messages show two decimals."""


class Pair(NamedTuple):
    rule: str
    severity: str
    fires: dict[str, Any]
    figure: float | str | None
    silent: dict[str, Any]
    fires_with: OrderFacts = HOME
    silent_with: OrderFacts = HOME


def told(rule: str, changes: dict[str, Any], facts: OrderFacts = HOME) -> list[Finding]:
    """What one rule says about the five-string document with those changes."""
    return [finding for finding in check(derived(changes), facts) if finding.rule == rule]


def summary(findings: list[Finding]) -> list[tuple[str, str, Any]]:
    """Slug, severity and figure of each finding."""
    return [(finding.rule, finding.severity, finding.figure) for finding in findings]


def assert_pair(pair: Pair) -> None:
    """The rule fires with exactly that figure, and is silent on the near miss."""
    figure = pair.figure if isinstance(pair.figure, str | None) else pytest.approx(pair.figure, abs=SHOWN_TO)
    assert summary(told(pair.rule, pair.fires, pair.fires_with)) == [(pair.rule, pair.severity, figure)]
    assert told(pair.rule, pair.silent, pair.silent_with) == []


def names(pairs: tuple[Pair, ...]) -> list[str]:
    """Test names: the slugs."""
    return [pair.rule for pair in pairs]
