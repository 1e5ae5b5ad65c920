"""What is tried before it is done: trial plans beside the published one, and the one rush tag of the shop."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from routing.plans import Plan


class TrialState(models.TextChoices):
    RUNNING = "running", _("being worked out")
    READY = "ready", _("worked out")
    KEPT = "kept", _("kept")
    DROPPED = "dropped", _("dropped")


class Trial(models.Model):
    """A plan of the backlog with something changed (``routing/changes.py``), for looking at.

    ``result`` is who moves by how much, late orders before and after, the load (``routing/planning/moves.py``);
    ``by_hand`` what is still to be done by hand after it was kept.
    """

    changes = models.JSONField()
    state = models.CharField(max_length=10, choices=TrialState.choices, default=TrialState.RUNNING)
    job = models.ForeignKey("routing.Job", models.SET_NULL, null=True, related_name="+")
    plan = models.ForeignKey(Plan, models.SET_NULL, null=True, related_name="trials")
    result = models.JSONField(default=dict)
    by_hand = models.JSONField(default=list)
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(_("asked"))
    decided_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    decided_at = models.DateTimeField(_("decided"), null=True)

    class Meta:
        ordering = ("-pk",)

    def __str__(self) -> str:
        return str(self.pk)


class RushTag(models.Model):
    """One instrument goes before all others in every queue; only one in the shop has it (``stands``).

    ``delays`` is what was known when it was put: orders it delays, each with the days. ``weight_before`` comes back
    when it is lifted.
    """

    build = models.ForeignKey("routing.Build", models.PROTECT, related_name="rush_tags")
    stands = models.BooleanField(default=True)
    reason = models.CharField(_("reason"), max_length=300)
    fee = models.CharField(_("fee"), max_length=80)
    initials = models.CharField(_("initials"), max_length=4)
    delays = models.JSONField(default=list)
    weight_before = models.PositiveSmallIntegerField(default=1)
    put_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    put_at = models.DateTimeField(_("put"))
    lifted_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    lifted_at = models.DateTimeField(_("lifted"), null=True)
    lifted_because = models.CharField(_("why it was lifted"), max_length=300, blank=True)

    class Meta:
        ordering = ("-pk",)
        constraints = [
            models.UniqueConstraint(fields=("stands",), condition=models.Q(stands=True), name="one_rush_tag"),
            models.CheckConstraint(
                condition=models.Q(stands=True, lifted_at=None) | models.Q(stands=False, lifted_at__isnull=False),
                name="rush_tag_stands_until_lifted",
            ),
        ]
