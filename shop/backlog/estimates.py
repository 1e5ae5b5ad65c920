"""The page of estimates: what finished work asks for, the evidence as a picture, the effect on the hours ahead."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Sum
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from routing.estimates import Estimate, EstimateProposal, ProposalState
from routing.models import Task
from routing.said import listed
from specs.drawings.histogram import Column, Mark, columns, histogram

DECIDED = 20
LEVELS = ("low", "usual", "high")


@dataclass(frozen=True)
class Asked:
    """One proposal as its zone shows it."""

    row: EstimateProposal
    station: str

    @property
    def hours(self) -> list[tuple[str, float, float]]:
        """Low, usual and high: now, and as proposed."""
        new = (self.row.low_h, self.row.usual_h, self.row.high_h)
        return list(zip((_("low"), _("usual"), _("high")), self.row.evidence["before_h"], new, strict=True))

    @property
    def spread(self) -> list[float]:
        return self.row.evidence["spread_h"]

    @property
    def far_off(self) -> list[float]:
        return self.row.evidence["far_off_h"]

    @property
    def columns(self) -> tuple[Column, ...]:
        return columns(self.row.evidence["kept_h"])

    @property
    def picture(self) -> SafeString:
        """The hours that count, with strokes at the usual hours now and proposed."""
        marks = (
            _mark(_("now"), self.row.evidence["before_h"][1]),
            _mark(_("proposed"), self.row.usual_h, strong=True),
        )
        title = _("Hours of finished tasks: {operation}").format(operation=_(self.row.operation))
        return mark_safe(histogram(self.row.evidence["kept_h"], marks, unit=_("hours"), title=title))

    @property
    def more_h(self) -> float:
        """What acceptance adds to the hours of tasks not yet started."""
        return self.row.evidence["ahead_h"]


def _mark(word: str, hours: float, strong: bool = False) -> Mark:
    return Mark(hours, f"{word} {hours:.2f}", strong)


def proposals() -> list[Asked]:
    """Every open proposal, the largest change of work ahead first; one query."""
    rows = EstimateProposal.objects.filter(state=ProposalState.PROPOSED)
    asked = [Asked(row, operation.station) for row in rows if (operation := listed(row.operation))]
    return sorted(asked, key=lambda one: -abs(one.more_h))


@dataclass(frozen=True)
class Ahead:
    """Hours not yet started at a station: as estimated now, and if every proposal were accepted for them too."""

    station: str
    now_h: float
    then_h: float


def ahead(asked: Sequence[Asked]) -> list[Ahead]:
    """The stations whose work ahead the proposals would change, in shop-walk order; one query."""
    more: dict[str, float] = {}
    for one in asked:
        more[one.station] = more.get(one.station, 0.0) + one.more_h
    waiting = Task.objects.open().filter(
        started_at=None, build__finished_at=None, build__cancelled_at=None, station__name__in=list(more)
    )
    rows = waiting.order_by("station__position").values_list("station__name").annotate(hours=Sum("usual_h"))
    return [Ahead(name, hours, hours + more[name]) for name, hours in rows]


def decided() -> list[dict[str, Any]]:
    """The newest decisions, with what was decided and why; one query."""
    rows = EstimateProposal.objects.exclude(state=ProposalState.PROPOSED).select_related("decided_by")
    return [
        {"row": row, "declined": row.state == ProposalState.DECLINED} for row in rows.order_by("-decided_at")[:DECIDED]
    ]


def accepted_count() -> int:
    """How many versions of hours have been accepted so far."""
    return Estimate.objects.count()


def largest(rows: Iterable[Ahead]) -> float:
    """The longest bar of the table of stations."""
    return max((max(row.now_h, row.then_h) for row in rows), default=0.0)
