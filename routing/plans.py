"""The plan as kept: its versions, the one published, what each instrument has in it, promises given, the settings."""

from __future__ import annotations

from datetime import time

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from specs.models import Spec


class PlanKind(models.TextChoices):
    QUICK = "quick", _("quick")
    IMPROVED = "improved", _("improved")
    TRIAL = "trial", _("trial")


class Plan(models.Model):
    """A version of the plan; written once, then only published or not, with the reason.

    ``rows`` are its tasks as compressed columns (``routing/planning/stored.py``), ``summary`` the figures beside the
    cost: orders, late ones, worst lateness in working days.
    """

    kind = models.CharField(_("kind"), max_length=10, choices=PlanKind.choices)
    made_at = models.DateTimeField(_("made"))
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    based_on = models.ForeignKey("self", models.SET_NULL, null=True, related_name="+")
    cost = models.FloatField(_("cost, weighted working days late"))
    summary = models.JSONField(default=dict)
    rows = models.BinaryField()
    published_at = models.DateTimeField(_("published"), null=True)
    reason = models.CharField(_("why published or not"), max_length=300, blank=True)

    class Meta:
        ordering = ("-pk",)
        indexes = [models.Index(fields=("published_at",), name="plan_published")]

    def __str__(self) -> str:
        return str(self.pk)


class PublishedPlan(models.Model):
    """The one row that points at the plan that counts; every publication, acceptance and withdrawal locks it.

    ``version`` rises with each of them: what was read under one version is read again under another. ``made_by`` is
    the job that makes the next plan, one at a time; ``again``: something happened meanwhile, so another one is due.
    """

    plan = models.ForeignKey(Plan, models.PROTECT, null=True, related_name="+")
    version = models.PositiveIntegerField(default=0)
    changed_at = models.DateTimeField(null=True)
    made_by = models.ForeignKey("routing.Job", models.SET_NULL, null=True, related_name="+")
    again = models.BooleanField(default=False)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_published_plan")]


class Booking(models.Model):
    """An accepted promise: what was ordered, its place in the plan, and the date given for it.

    Until the deposit clears there is no build, and the booking alone holds the place (``build`` null); withdrawn, it
    holds none. ``facts`` are the order's (``specs.facts.OrderFacts``), ``rows`` its tasks as placed, in the columns of
    a plan. ``bare_on`` is the day it leaves by the plan, ``margin_days`` calendar days added at that service level.
    """

    spec = models.ForeignKey(Spec, models.PROTECT, related_name="bookings")
    line = models.CharField(_("line"), max_length=10)
    facts = models.JSONField(default=dict)
    rows = models.BinaryField()
    plan = models.ForeignKey(Plan, models.SET_NULL, null=True, related_name="bookings")
    bare_on = models.DateField(_("leaves by the plan"))
    margin_days = models.FloatField(_("margin, calendar days"))
    level = models.FloatField(_("service level"))
    promised_on = models.DateField(_("promised"))
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(_("accepted"))
    build = models.OneToOneField("routing.Build", models.PROTECT, null=True, related_name="booking")
    withdrawn_at = models.DateTimeField(_("withdrawn"), null=True)

    class Meta:
        ordering = ("pk",)
        indexes = [
            models.Index(
                fields=("id",), condition=models.Q(build=None, withdrawn_at=None), name="booking_without_build"
            ),
        ]


class PlannedBuild(models.Model):
    """What a plan says of one build, or of a booking that has none yet: first start, despatch, end of all work.

    ``leaves`` is what its promise is about; the forecast adds its figures later.
    """

    plan = models.ForeignKey(Plan, models.CASCADE, related_name="builds")
    build = models.ForeignKey("routing.Build", models.CASCADE, null=True, related_name="planned")
    booking = models.ForeignKey(Booking, models.CASCADE, null=True, related_name="planned")
    starts = models.DateTimeField(null=True)
    leaves = models.DateTimeField(null=True)
    ends = models.DateTimeField()
    p50 = models.DateTimeField(null=True)
    p80 = models.DateTimeField(null=True)
    p95 = models.DateTimeField(null=True)
    kept_chance = models.FloatField(_("probability that the promise is kept"), null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=("plan", "build"), name="planned_once"),
            models.UniqueConstraint(fields=("plan", "booking"), name="booking_planned_once"),
            models.CheckConstraint(
                name="planned_build_or_booking",
                condition=models.Q(build__isnull=False, booking=None) | models.Q(build=None, booking__isnull=False),
            ),
        ]


class PlanSettings(models.Model):
    """What the manager sets: service level of promises, when a new plan is published, when and how long to search."""

    level = models.FloatField(
        _("service level of promises"), default=0.8, validators=[MinValueValidator(0.5), MaxValueValidator(0.99)]
    )
    better_by = models.FloatField(
        _("share by which a new plan must be better"),
        default=0.02,
        validators=[MinValueValidator(0.0), MaxValueValidator(0.5)],
    )
    night_at = models.TimeField(_("when the nightly search begins"), default=time(2, 40))
    seconds = models.PositiveSmallIntegerField(
        _("seconds of search"), default=30, validators=[MinValueValidator(1), MaxValueValidator(600)]
    )

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_row_of_plan_settings")]
