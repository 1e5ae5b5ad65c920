"""Which sheets of a build are current, and where a scanned code leads."""

from __future__ import annotations

from datetime import datetime

from django.db.models import Q, QuerySet
from django.urls import reverse

from routing.models import Build, Kind, Task, TaskState
from routing.queries import LIVE
from shop.papers.models import Sheet


def sheets_of(build: Build) -> QuerySet[Sheet]:
    """Every sheet issued for a build, the newest first."""
    return build.sheets.select_related("spec", "job", "build").order_by("-issued_at", "-pk")


def is_current(sheet: Sheet) -> bool:
    """Whether the sheet says what the bench sees: its revision is the build's."""
    left = sheet.build.batch.left_spec_id if sheet.build.kind == Kind.BATCH else None
    return sheet.spec_id in (sheet.build.spec_id, left)


def scanned_build(serial: str) -> Build | None:
    """The build of that serial."""
    return Build.objects.select_related("spec", "order", "batch").filter(serial__iexact=serial).first()


def home_of(build: Build) -> str:
    """The address of the page a build belongs to: its order's, else its batch's."""
    order = getattr(build, "order", None)
    if order is not None:
        return reverse("orders:page", args=[order.number])
    return reverse("batches:page", args=[build.batch.number]) if build.batch else reverse("orders:list")


def task_here(build: Build, now: datetime) -> Task | None:
    """What is done to the instrument now: the task on the bench, else the first a hand can take."""
    on_bench, ready = Q(state=TaskState.ON_BENCH), Q(state=TaskState.READY, ready_at__lte=now)
    tasks = list(build.tasks.filter(on_bench | ready).order_by("position"))
    return min(tasks, key=lambda task: (task.state != TaskState.ON_BENCH, task.position), default=None)


def in_the_way(build: Build | None) -> list[Task]:
    """The tasks that stand at a station now; before a release they are what it waits for."""
    if build is None:
        return []
    return list(build.tasks.filter(state__in=LIVE).select_related("station").order_by("position"))
