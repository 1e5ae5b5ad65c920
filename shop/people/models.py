"""People of the workshop, their role and preferences, and the presses of their buttons."""

from __future__ import annotations

from django.conf import settings
from django.contrib.auth.models import AbstractUser
from django.db import models
from django.utils.translation import gettext_lazy as _


class Role(models.TextChoices):
    SALES = "sales", _("sales desk")
    BENCH = "bench", _("bench")
    MANAGER = "manager", _("manager")


class Units(models.TextChoices):
    MM = "mm", _("millimetres")
    INCH = "in", _("inches, decimal")
    INCH64 = "in64", _("inches, 1/64")


class Person(AbstractUser):
    """Somebody who signs in; the role decides what they see, a superuser sees everything."""

    role = models.CharField(_("role"), max_length=10, choices=Role.choices, default=Role.BENCH)
    initials = models.CharField(_("initials"), max_length=4, blank=True)
    units = models.CharField(_("units shown"), max_length=5, choices=Units.choices, default=Units.MM)

    class Meta(AbstractUser.Meta):
        app_label = "shop"

    def __str__(self) -> str:
        return self.get_full_name() or self.username


class Press(models.Model):
    """One press of a button that writes: its token and the answer it got, so that a second press gets the same."""

    token = models.UUIDField(primary_key=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    path = models.CharField(max_length=300)
    at = models.DateTimeField(auto_now_add=True)
    status = models.PositiveSmallIntegerField(default=0)
    headers = models.JSONField(default=dict)
    body = models.TextField(blank=True)

    class Meta:
        app_label = "shop"
        indexes = (models.Index(fields=("at",), name="press_by_time"),)
