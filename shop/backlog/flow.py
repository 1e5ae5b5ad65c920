"""The page of lead times: how long instruments took, how it changes, and whether the figures agree with each other."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from routing.flow import Little, Month, Passage, little, percentile, trend
from routing.lived import passages
from specs.drawings.histogram import Column, Mark, columns, histogram

LOOKED_AT = timedelta(days=365)
CHECKED = timedelta(days=182)
"""The half year over which floor, throughput and flow time are held against each other."""

MONTHS = 12
LINES = ("custom", "series")


class Times:
    """One clock of the instruments that left: its histogram, its percentiles, and its months."""

    def __init__(self, name: str, left: list[tuple[date, float]], until: date) -> None:
        self.name = name
        self.days = sorted(days for _day, days in left)
        self.months: tuple[Month, ...] = trend(left, until, MONTHS)

    @property
    def half(self) -> float:
        return percentile(self.days, 0.5)

    @property
    def most(self) -> float:
        return percentile(self.days, 0.8)

    @property
    def columns(self) -> tuple[Column, ...]:
        return columns(self.days)

    @property
    def picture(self) -> SafeString:
        """Columns of the days, with strokes at P50 and P80."""
        marks = (Mark(self.half, f"P50 {self.half:.0f}"), Mark(self.most, f"P80 {self.most:.0f}", strong=True))
        return mark_safe(histogram(self.days, marks, unit=_("days"), title=self.name))

    @property
    def longest(self) -> float:
        """The largest P80 of its months, for the length of the bars."""
        return max((month.most for month in self.months if month.most is not None), default=0.0)


class Flow:
    """Everything the page shows of one line, or of all; two queries."""

    def __init__(self, now: datetime, line: str = "") -> None:
        self.line, until = line if line in LINES else "", timezone.localdate(now)
        passed = passages(now - LOOKED_AT, self.line)
        left = [(timezone.localdate(one.despatched), one) for one in passed if one.despatched is not None]
        self.count = len(left)
        self.lead = Times(_("Lead time, deposit to despatch"), [(day, one.lead_days) for day, one in left], until)
        flow = [(day, one.flow_days) for day, one in left if one.flow_days is not None]
        self.flow = Times(_("Flow time, release to despatch"), flow, until)
        self.little: Little | None = little(passed, now - CHECKED, now)

    @property
    def times(self) -> list[Times]:
        return [one for one in (self.lead, self.flow) if one.days]

    @property
    def forgotten(self) -> tuple[Passage, ...]:
        return self.little.forgotten if self.little else ()

    @property
    def verdict(self) -> str:
        """Whether the three figures agree, and if not, which of them to look at."""
        found = self.little
        if found is None:
            return ""
        if found.agree:
            return _("The three figures agree.")
        return _instruments_unseen(found) or _floor_moved(found) or _flow_moved(found)


def _instruments_unseen(found: Little) -> str:
    if not found.forgotten:
        return ""
    return _(
        "They do not agree, and the count on the floor is the doubtful one: what is named below stands there so long "
        "that it was despatched without its Done, or was forgotten."
    )


def _floor_moved(found: Little) -> str:
    if abs(found.grew) < 2 or (found.grew > 0) != (found.gap > 0):
        return ""
    if found.grew > 0:
        return _(
            "They do not agree because the floor filled by {n}: more was released than finished, so the flow time of "
            "what stands there now will be longer than what left shows. Release less."
        ).format(n=found.grew)
    return _(
        "They do not agree because the floor emptied by {n}: what left had waited in a fuller shop, so what stands "
        "there now will be quicker than the flow time shows."
    ).format(n=-found.grew)


def _flow_moved(found: Little) -> str:
    if found.gap > 0:
        return _(
            "They do not agree: what left lately was quick, and older instruments still stand. Look at the oldest."
        )
    return _("They do not agree: what left lately had stood long. The flow time is the doubtful figure.")
