"""When people, the shop and its places are there: hours, absences, overtime, days of their own, places out of use."""

from __future__ import annotations

from datetime import time

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

RUNS_FORWARD = models.Q(begins__lt=models.F("ends")) | models.Q(ends=time())
"""A stretch of a day; an end of 00:00 is the end of the day."""

FIRST_TO_LAST = models.Q(first__lte=models.F("last"))


class WorkingHours(models.Model):
    """A stretch of a weekday (Monday 0) a person works every week; whoever has none works the shop's hours."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="working_hours")
    weekday = models.PositiveSmallIntegerField(_("weekday"))
    begins = models.TimeField(_("from"))
    ends = models.TimeField(_("to"))

    class Meta:
        ordering = ("person", "weekday", "begins")
        constraints = [
            models.UniqueConstraint(fields=("person", "weekday", "begins"), name="hours_begin_once"),
            models.CheckConstraint(condition=models.Q(weekday__lte=6), name="hours_on_a_weekday"),
            models.CheckConstraint(condition=RUNS_FORWARD, name="hours_run_forward"),
        ]


class Absence(models.Model):
    """Whole days a person is not at work, from the first to the last."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="absences")
    first = models.DateField(_("first day"))
    last = models.DateField(_("last day"))
    reason = models.CharField(_("reason"), max_length=120)

    class Meta:
        ordering = ("first", "pk")
        constraints = [models.CheckConstraint(condition=FIRST_TO_LAST, name="absence_first_to_last")]


class Overtime(models.Model):
    """A stretch of one day a person works beyond their hours; it counts on a closed day too."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="overtime")
    date = models.DateField(_("date"))
    begins = models.TimeField(_("from"))
    ends = models.TimeField(_("to"))

    class Meta:
        ordering = ("date", "begins", "pk")
        constraints = [
            models.UniqueConstraint(fields=("person", "date", "begins"), name="overtime_begins_once"),
            models.CheckConstraint(condition=RUNS_FORWARD, name="overtime_runs_forward"),
        ]


class DayException(models.Model):
    """A stretch of a day on which the shop has hours of that day: a worked Saturday, a short day before a feast."""

    date = models.DateField(_("date"))
    begins = models.TimeField(_("from"))
    ends = models.TimeField(_("to"))
    reason = models.CharField(_("reason"), max_length=120)

    class Meta:
        ordering = ("date", "begins")
        constraints = [
            models.UniqueConstraint(fields=("date", "begins"), name="day_begins_once"),
            models.CheckConstraint(condition=RUNS_FORWARD, name="day_runs_forward"),
        ]


class PlacesOut(models.Model):
    """Places of a station that cannot be used on whole days: filters changed, a bench lent."""

    station = models.ForeignKey("routing.Station", models.CASCADE, related_name="places_out")
    first = models.DateField(_("first day"))
    last = models.DateField(_("last day"))
    places = models.PositiveSmallIntegerField(_("places"), default=1)
    reason = models.CharField(_("reason"), max_length=120)

    class Meta:
        ordering = ("first", "pk")
        constraints = [
            models.CheckConstraint(condition=FIRST_TO_LAST, name="places_out_first_to_last"),
            models.CheckConstraint(condition=models.Q(places__gte=1), name="places_out_some"),
        ]
