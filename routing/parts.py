"""Parts made ahead and held as stock, until a build takes one."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.db import models
from django.utils.translation import gettext_lazy as _

from routing.catalogue import operation

NECK_BLANK = "neck blank"
COVERED: dict[str, tuple[str, ...]] = {
    NECK_BLANK: (
        "Rough milling of neck laminates",
        "Final dressing of neck laminates",
        "Neck lamination glue-up",
        "Neck blank flattening and rest",
    )
}
"""The operations a part of each kind brings with it, in order of work."""


def rest_of(kind: str) -> timedelta:
    """How long a part rests once its last work is done."""
    return timedelta(hours=operation(COVERED[kind][-1]).wait_h)


class HeadStart(models.Model):
    """One part made ahead: what it fits, the stock work it was made in, and the build that took it."""

    number = models.CharField(_("number"), max_length=20, unique=True)
    kind = models.CharField(_("kind"), max_length=20, choices=[(NECK_BLANK, _("neck blank"))], default=NECK_BLANK)
    made_in = models.ForeignKey("routing.Build", models.PROTECT, related_name="head_starts")
    construction = models.CharField(_("neck construction"), max_length=20)
    wood = models.CharField(_("wood"), max_length=40)
    pieces = models.PositiveSmallIntegerField(_("laminates"))
    strings = models.PositiveSmallIntegerField(_("strings"))
    length_mm = models.FloatField(_("longest scale, mm"))
    used_by = models.ForeignKey("routing.Build", models.PROTECT, null=True, related_name="taken_parts")
    used_at = models.DateTimeField(_("taken"), null=True)

    class Meta:
        ordering = ("number",)
        constraints = [
            models.UniqueConstraint(
                fields=("kind", "used_by"), condition=models.Q(used_by__isnull=False), name="one_part_a_build"
            )
        ]
        indexes = [models.Index(fields=("used_by", "kind"), name="parts_in_stock")]

    def __str__(self) -> str:
        return self.number

    @property
    def rested_from(self) -> datetime | None:
        """When it may be taken; None while it is being made."""
        made = self.made_in.finished_at
        return made + rest_of(self.kind) if made else None
