"""Builds, their tasks at stations, who can do them, what stops them, and background jobs."""

from __future__ import annotations

from datetime import datetime

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from routing.attendance import Absence as Absence
from routing.attendance import DayException as DayException
from routing.attendance import Overtime as Overtime
from routing.attendance import PlacesOut as PlacesOut
from routing.attendance import WorkingHours as WorkingHours
from routing.estimates import Estimate as Estimate
from routing.estimates import EstimateProposal as EstimateProposal
from routing.limits import FloorLimit as FloorLimit
from routing.parts import HeadStart as HeadStart
from routing.plan.trial import RUSH_WEIGHT
from routing.plans import Booking as Booking
from routing.plans import Plan as Plan
from routing.plans import PlannedBuild as PlannedBuild
from routing.plans import PlanSettings as PlanSettings
from routing.plans import PublishedPlan as PublishedPlan
from routing.trials import RushTag as RushTag
from routing.trials import Trial as Trial
from specs.models import Pattern, Spec


class Station(models.Model):
    """A place of work, its number of places, and the caution that stands there."""

    slug = models.SlugField(unique=True)
    name = models.CharField(_("name"), max_length=60, unique=True)
    position = models.PositiveSmallIntegerField(_("place on the walk through the shop"))
    places = models.PositiveSmallIntegerField(_("places"), default=1)
    caution = models.CharField(_("caution"), max_length=200, blank=True)

    class Meta:
        ordering = ("position",)

    def __str__(self) -> str:
        return self.name


class Qualification(models.Model):
    """A person may work at a station and usually gives it so many hours a week."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="qualifications")
    station = models.ForeignKey(Station, models.CASCADE, related_name="qualifications")
    weekly_hours = models.FloatField(_("hours a week"), default=0)

    class Meta:
        constraints = [models.UniqueConstraint(fields=("person", "station"), name="qualified_once")]


class Holiday(models.Model):
    """A day the shop is closed."""

    date = models.DateField(_("date"), unique=True)
    name = models.CharField(_("name"), max_length=80)

    class Meta:
        ordering = ("date",)


class NumberRun(models.Model):
    """The last number given out of a run such as C26."""

    prefix = models.CharField(max_length=8, unique=True)
    last = models.PositiveIntegerField(default=0)


class Outcome(models.TextChoices):
    ACCEPTED = "accepted", _("accepted")
    TIGHTENED = "tightened", _("accepted, the next one inspected tightened")
    SORTED = "sorted", _("accepted, sorted at the partner's cost")
    RETURNED = "returned", _("returned to the partner")


class Batch(models.Model):
    """Instruments a partner builds to one released spec, its mirror image included; its work is a build of its own.

    ``outcome`` is what the disposition decided, empty while that is open; ``received`` how many were counted in.
    """

    number = models.CharField(_("number"), max_length=20, unique=True)
    partner = models.CharField(_("partner"), max_length=120)
    pattern = models.ForeignKey(Pattern, models.PROTECT, related_name="batches", verbose_name=_("pattern"))
    spec = models.ForeignKey(Spec, models.PROTECT, related_name="+", verbose_name=_("spec"))
    left_spec = models.ForeignKey(Spec, models.PROTECT, null=True, related_name="+", verbose_name=_("left-handed spec"))
    pieces = models.PositiveSmallIntegerField(_("pieces ordered"))
    left_pieces = models.PositiveSmallIntegerField(_("of them left-handed"), default=0)
    ordered_at = models.DateTimeField(_("ordered"))
    expected_on = models.DateField(_("expected"))
    received = models.PositiveSmallIntegerField(_("pieces counted in"), null=True)
    received_at = models.DateTimeField(_("counted in"), null=True)
    outcome = models.CharField(_("outcome"), max_length=10, choices=Outcome.choices, blank=True)

    class Meta:
        ordering = ("-ordered_at", "-pk")
        constraints = [
            models.CheckConstraint(
                name="batch_counts_hold",
                condition=models.Q(left_pieces__lte=models.F("pieces"))
                & (models.Q(received=None) | models.Q(received__lte=models.F("pieces"))),
            )
        ]

    def __str__(self) -> str:
        return self.number


class Kind(models.TextChoices):
    INSTRUMENT = "instrument", _("instrument")
    BATCH = "batch", _("work on a whole batch")
    PROTOTYPE = "prototype", _("prototype")
    STOCK = "stock", _("parts for stock")


class Build(models.Model):
    """One instrument on its way: spec revision, serial, line, dates and weight in the queue.

    Of a partner's batch also what is done once for all its instruments: the build of kind ``batch``.
    """

    kind = models.CharField(_("kind"), max_length=10, choices=Kind.choices, default=Kind.INSTRUMENT)
    batch = models.ForeignKey(Batch, models.PROTECT, null=True, related_name="builds", verbose_name=_("batch"))
    is_drawn = models.BooleanField(_("drawn for the batch's sample"), default=True)
    serial = models.CharField(_("serial"), max_length=20, unique=True)
    spec = models.ForeignKey(Spec, models.PROTECT, related_name="builds", verbose_name=_("spec"))
    line = models.CharField(_("line"), max_length=10, choices=[("custom", _("custom")), ("series", _("series"))])
    export = models.BooleanField(_("ship-to abroad"), default=False)
    permit = models.BooleanField(_("permit needed"), default=False)
    weight = models.PositiveSmallIntegerField(_("weight"), default=1)
    promise = models.DateField(_("promise"), null=True)
    release_date = models.DateField(_("may start from"), null=True)
    made_at = models.DateTimeField(_("made"))
    released_at = models.DateTimeField(_("released"), null=True)
    finished_at = models.DateTimeField(_("last task done"), null=True)
    cancelled_at = models.DateTimeField(_("cancelled"), null=True)

    class Meta:
        indexes = [models.Index(fields=("finished_at", "promise"), name="build_open_by_promise")]
        constraints = [
            models.UniqueConstraint(fields=("batch",), condition=models.Q(kind="batch"), name="one_work_a_batch"),
            models.CheckConstraint(
                name="batch_work_has_batch", condition=~models.Q(kind="batch") | models.Q(batch__isnull=False)
            ),
        ]

    def __str__(self) -> str:
        return self.serial

    @property
    def is_rush(self) -> bool:
        """Whether it goes before all others: the weight the shop's one rush tag gives."""
        return self.weight >= RUSH_WEIGHT


class TaskState(models.TextChoices):
    NOT_READY = "not ready", _("not ready")
    READY = "ready", _("ready")
    ON_BENCH = "on the bench", _("on the bench")
    HELD = "held", _("held")
    DONE = "done", _("done")


class TaskQuerySet(models.QuerySet["Task"]):
    def open(self) -> TaskQuerySet:
        """Tasks still to be done."""
        return self.exclude(state=TaskState.DONE)

    def ready(self, now: datetime) -> TaskQuerySet:
        """Tasks a hand can take now: predecessors done and the clock of their cure or rest is out."""
        return self.filter(state=TaskState.READY, ready_at__lte=now)

    def waiting(self, now: datetime) -> TaskQuerySet:
        """Tasks only the clock keeps from starting."""
        return self.filter(state=TaskState.READY, ready_at__gt=now)


class Task(models.Model):
    """One operation on one instrument; ``after`` holds the positions of its predecessors in the same build.

    ``beyond`` names the operations it comes after in other builds of its batch: for an instrument's task the batch's,
    for a task of the batch those of every instrument.

    *Waiting* is not stored: a task whose predecessors are done is READY with a ``ready_at``, and waits until then.
    """

    build = models.ForeignKey(Build, models.CASCADE, related_name="tasks")
    position = models.PositiveSmallIntegerField()
    operation = models.CharField(_("operation"), max_length=80)
    station = models.ForeignKey(Station, models.PROTECT, related_name="tasks")
    after = models.JSONField(default=list)
    beyond = models.JSONField(default=list)
    low_h = models.FloatField()
    usual_h = models.FloatField()
    high_h = models.FloatField()
    wait_h = models.FloatField(default=0)
    state = models.CharField(max_length=12, choices=TaskState.choices, default=TaskState.NOT_READY)
    ready_at = models.DateTimeField(_("ready from"), null=True)
    started_at = models.DateTimeField(_("started"), null=True)
    done_at = models.DateTimeField(_("done"), null=True)
    touched_s = models.PositiveIntegerField(_("seconds on the bench"), default=0)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="tasks")

    objects = TaskQuerySet.as_manager()

    class Meta:
        ordering = ("build", "position")
        constraints = [models.UniqueConstraint(fields=("build", "position"), name="one_task_a_position")]
        indexes = [
            models.Index(fields=("station", "state", "ready_at"), name="task_queue"),
            models.Index(fields=("state", "station"), name="task_by_state"),
            models.Index(
                fields=("build", "station", "usual_h", "wait_h"),
                condition=~models.Q(state=TaskState.DONE),
                name="task_ahead",
            ),
            models.Index(
                fields=("done_at", "station", "ready_at"), condition=models.Q(state=TaskState.DONE), name="task_lived"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.build_id} {self.operation}"


class EventKind(models.TextChoices):
    STARTED = "started", _("started")
    PAUSED = "paused", _("paused")
    DONE = "done", _("done")
    HELD = "held", _("held")
    LIFTED = "lifted", _("hold lifted")
    REOPENED = "reopened", _("reopened")
    UNDONE = "undone", _("undone")


class TaskEvent(models.Model):
    """One line of the log: who did what to a task, when; never changed, only followed."""

    task = models.ForeignKey(Task, models.CASCADE, related_name="events")
    kind = models.CharField(max_length=10, choices=EventKind.choices)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    note = models.CharField(max_length=300, blank=True)
    readings = models.JSONField(default=dict)
    before = models.JSONField(default=dict, help_text="the task's fields before, so that an undo can restore them")
    undoes = models.OneToOneField("self", models.PROTECT, null=True, related_name="undone_by")

    class Meta:
        ordering = ("at", "pk")
        indexes = [
            models.Index(fields=("task", "at"), name="log_of_a_task"),
            models.Index(fields=("person", "at"), name="log_of_a_person"),
        ]


class Hold(models.Model):
    """Why a task may not go on, until somebody lifts it."""

    task = models.ForeignKey(Task, models.CASCADE, related_name="holds")
    reason = models.CharField(_("reason"), max_length=300)
    placed_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    placed_at = models.DateTimeField()
    lifted_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    lifted_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=("task",), condition=models.Q(lifted_at=None), name="one_open_hold_a_task")
        ]


class JobState(models.TextChoices):
    QUEUED = "queued", _("queued")
    RUNNING = "running", _("running")
    DONE = "done", _("done")
    FAILED = "failed", _("failed")
    CANCELLED = "cancelled", _("cancelled")


class Job(models.Model):
    """The truth about one piece of background work; the queue only wakes a worker."""

    kind = models.CharField(max_length=40)
    arguments = models.JSONField(default=dict)
    state = models.CharField(max_length=10, choices=JobState.choices, default=JobState.QUEUED)
    progress = models.PositiveSmallIntegerField(_("percent"), default=0)
    message = models.CharField(max_length=300, blank=True)
    cancel = models.BooleanField(default=False)
    tries = models.PositiveSmallIntegerField(default=0)
    result = models.JSONField(null=True)
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    asked_at = models.DateTimeField(auto_now_add=True)
    heartbeat_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        indexes = [models.Index(fields=("state", "heartbeat_at"), name="job_by_state")]


class MeasuredSetback(models.Model):
    """Where a setup really put a saddle: of which string at which scale, and how far behind the scale point."""

    event = models.ForeignKey(TaskEvent, models.CASCADE, related_name="setbacks")
    number = models.PositiveSmallIntegerField(_("string, 1 the highest"))
    winding = models.CharField(_("winding"), max_length=30)
    gauge_mm = models.FloatField(_("gauge, mm"))
    scale_mm = models.FloatField(_("scale, mm"))
    setback_mm = models.FloatField(_("setback, mm"))

    class Meta:
        constraints = [models.UniqueConstraint(fields=("event", "number"), name="one_setback_a_string")]
        indexes = [models.Index(fields=("winding", "gauge_mm"), name="setbacks_of_a_string")]
