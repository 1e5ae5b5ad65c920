"""Patterns (base designs) and specs (revisions of one instrument's document)."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from specs.canonical import digest
from specs.parsing import parse
from specs.vocabulary import WINDINGS


class Stage(models.TextChoices):
    IDEA = "idea", _("idea")
    DRAWING = "drawing", _("drawing")
    PROTOTYPE = "prototype", _("prototype")
    TRIAL = "trial", _("trial")
    OFFERED = "offered", _("offered")
    RESTING = "resting", _("resting")


class PatternQuerySet(models.QuerySet["Pattern"]):
    def offered(self) -> PatternQuerySet:
        """Patterns a new order may start from."""
        return self.filter(stage=Stage.OFFERED)


class Pattern(models.Model):
    """A base design with its usual choices, from the idea on; once offered, where an order starts."""

    name = models.CharField(_("name"), max_length=80, unique=True)
    strings = models.PositiveSmallIntegerField(_("strings"))
    line = models.CharField(_("line"), max_length=10, choices=[("custom", _("custom")), ("series", _("series"))])
    document = models.JSONField(_("document"))
    about = models.CharField(_("about"), max_length=200, blank=True)
    stage = models.CharField(_("stage"), max_length=10, choices=Stage.choices, default=Stage.OFFERED)

    objects = PatternQuerySet.as_manager()

    class Meta:
        ordering = ("strings", "name")

    def __str__(self) -> str:
        return self.name


class PatternMove(models.Model):
    """A design went from one stage to another: who, when, why; the first line of a design says where it began."""

    pattern = models.ForeignKey(Pattern, models.CASCADE, related_name="moves")
    was = models.CharField(max_length=10, choices=Stage.choices, blank=True)
    stage = models.CharField(max_length=10, choices=Stage.choices)
    reason = models.CharField(_("reason"), max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("at", "pk")


class Spec(models.Model):
    """One revision of an instrument's document: ``entered`` as typed, ``document`` completed by its release."""

    pattern = models.ForeignKey(Pattern, models.PROTECT, null=True, related_name="specs", verbose_name=_("pattern"))
    previous = models.OneToOneField("self", models.PROTECT, null=True, related_name="next", verbose_name=_("previous"))
    revision = models.CharField(_("revision"), max_length=3, default="A")
    entered = models.JSONField(_("as entered"))
    entered_version = models.PositiveIntegerField(_("times kept"), default=1)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", verbose_name=_("made by"))
    made_at = models.DateTimeField(_("made"), auto_now_add=True)
    kept_at = models.DateTimeField(_("kept"), auto_now=True)
    released_at = models.DateTimeField(_("released"), null=True)
    document = models.JSONField(_("released document"), null=True)
    digest = models.CharField(_("digest"), max_length=64, blank=True)
    answer = models.JSONField(_("computed instrument"), null=True)
    table_versions = models.JSONField(_("versions of the tables used"), null=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="spec_released_whole",
                condition=models.Q(released_at__isnull=True, digest="")
                | models.Q(released_at__isnull=False, document__isnull=False, answer__isnull=False)
                & ~models.Q(digest=""),
            )
        ]

    def __str__(self) -> str:
        return f"{self.pk} {self.revision}"

    @property
    def is_released(self) -> bool:
        """Whether this revision is frozen."""
        return self.released_at is not None

    def build_spec(self) -> Any:
        """The parsed BuildSpec of this revision; raises Refused while the draft has problems."""
        return parse(self.document if self.is_released else self.entered)

    def digest_holds(self) -> bool:
        """Whether the frozen document still has the digest of its release."""
        return digest(self.document) == self.digest


class WeighedStringQuerySet(models.QuerySet["WeighedString"]):
    def newest(self) -> WeighedStringQuerySet:
        """Every string once, as it was weighed last."""
        later = WeighedString.objects.filter(winding=models.OuterRef("winding"), gauge_mm=models.OuterRef("gauge_mm"))
        last = later.order_by("-weighed_at", "-pk").values("pk")[:1]
        return self.filter(pk=models.Subquery(last))


class WeighedString(models.Model):
    """A string the shop put on its own scales: what an inch of it weighs, by whom and when."""

    gauge_mm = models.FloatField(_("gauge"))
    winding = models.CharField(_("winding"), max_length=30, choices=[(word, _(word)) for word in WINDINGS])
    unit_weight_lb_in = models.FloatField(_("unit weight, lb/in"))
    weighed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", verbose_name=_("weighed by")
    )
    weighed_at = models.DateTimeField(_("weighed"))

    objects = WeighedStringQuerySet.as_manager()

    class Meta:
        ordering = ("winding", "gauge_mm", "-weighed_at")
        constraints = [
            models.CheckConstraint(
                name="weighed_string_is_one",
                condition=models.Q(gauge_mm__gte=0.1, gauge_mm__lte=6)
                & models.Q(unit_weight_lb_in__gte=1e-7, unit_weight_lb_in__lte=0.1),
            )
        ]

    def __str__(self) -> str:
        return f"{self.gauge_mm} {self.winding}"
