"""Printed sheets kept as they were issued."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from routing.models import Build, Job
from specs.models import Spec


class Sheet(models.Model):
    """One issued document of a build at one spec revision; the file is made once and never changes."""

    build = models.ForeignKey(Build, models.PROTECT, related_name="sheets")
    spec = models.ForeignKey(Spec, models.PROTECT, related_name="sheets")
    kind = models.CharField(max_length=20, default="traveller", choices=[("traveller", _("traveller"))])
    paper = models.CharField(max_length=6, choices=[("A4", "A4"), ("Letter", "US Letter")])
    job = models.ForeignKey(Job, models.SET_NULL, null=True, related_name="+")
    issued_at = models.DateTimeField(_("issued"))
    file = models.FileField(upload_to="%Y/%m/", blank=True)
    digest = models.CharField(max_length=64, blank=True)
    pages = models.PositiveSmallIntegerField(null=True)

    class Meta:
        app_label = "shop"
        constraints = [
            models.UniqueConstraint(fields=("build", "spec", "kind", "paper"), name="one_sheet_a_revision_and_paper")
        ]
