"""Hours accepted from finished work, in versions that are never changed, and the proposals they come from."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class Estimate(models.Model):
    """Hours of an operation under a condition, as accepted from finished work; the newest counts, none is changed."""

    operation = models.CharField(_("operation"), max_length=80)
    condition = models.CharField(_("condition"), max_length=80, blank=True)
    low_h = models.FloatField()
    usual_h = models.FloatField()
    high_h = models.FloatField()
    open_too = models.BooleanField(_("also for work not yet started"), default=False)
    accepted_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(_("accepted"))
    evidence = models.JSONField(default=dict)

    class Meta:
        ordering = ("at", "pk")


class ProposalState(models.TextChoices):
    PROPOSED = "proposed", _("proposed")
    ACCEPTED = "accepted", _("accepted")
    DECLINED = "declined", _("declined")


class EstimateProposal(models.Model):
    """Hours finished work asks for, with the evidence; a manager accepts or declines them, nobody else does."""

    operation = models.CharField(_("operation"), max_length=80)
    condition = models.CharField(_("condition"), max_length=80, blank=True)
    low_h = models.FloatField()
    usual_h = models.FloatField()
    high_h = models.FloatField()
    evidence = models.JSONField(default=dict)
    state = models.CharField(max_length=10, choices=ProposalState.choices, default=ProposalState.PROPOSED)
    computed_at = models.DateTimeField(_("computed"))
    decided_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    decided_at = models.DateTimeField(_("decided"), null=True)
    reason = models.CharField(_("reason"), max_length=300, blank=True)

    class Meta:
        ordering = ("operation", "condition", "-pk")
        constraints = [
            models.UniqueConstraint(
                fields=("operation", "condition"), condition=models.Q(state="proposed"), name="one_open_proposal"
            )
        ]
        indexes = [models.Index(fields=("state", "-decided_at"), name="proposals_decided")]
