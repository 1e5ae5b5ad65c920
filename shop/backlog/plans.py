"""What the page of the plan shows: what is published, what is being made, the versions, how promises fare."""

from __future__ import annotations

from datetime import datetime

from django.utils import timezone

from routing.models import Booking, Job, JobState, Plan, PublishedPlan
from routing.plan.margin import Margin, margin
from routing.planning.jobs import IMPROVE, REPLAN
from routing.planning.promising import promises_kept
from routing.planning.published import ONLY, plan_settings

VERSIONS = 20
UNDER_WAY = (JobState.QUEUED, JobState.RUNNING)
SHOWN_DAYS = 90


class PlanPage:
    """Read in a fixed number of queries."""

    def __init__(self, now: datetime) -> None:
        row = PublishedPlan.objects.select_related("plan").defer("plan__rows").filter(pk=ONLY).first()
        self.published = row.plan if row else None
        jobs = Job.objects.filter(kind__in=(REPLAN, IMPROVE)).select_related("asked_by")
        self.jobs = list(jobs.filter(state__in=UNDER_WAY).order_by("pk"))
        self.failed = jobs.exclude(state__in=UNDER_WAY).order_by("-ended_at").filter(state=JobState.FAILED).first()
        if self.failed and self.published and self.failed.ended_at < self.published.published_at:
            self.failed = None
        self.versions = list(Plan.objects.defer("rows").select_related("asked_by")[:VERSIONS])
        self.newest = self.versions[0].pk if self.versions else None
        self.open_promises = Booking.objects.filter(withdrawn_at=None, build=None).count()
        self.settings = plan_settings()
        self.now, self._kept = timezone.localtime(now), promises_kept(now)

    @property
    def margin(self) -> Margin:
        """What is added to a date three months off at the service level, and how many promises were kept so far."""
        return margin(self.settings.level, self._kept, None, SHOWN_DAYS)

    @property
    def is_searching(self) -> bool:
        """Whether the improved plan is asked for already."""
        return any(job.kind == IMPROVE for job in self.jobs)
