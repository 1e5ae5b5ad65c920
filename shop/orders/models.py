"""Customers and dealers, their orders, the cautions somebody answered for, and an order's history."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from routing.models import Booking, Build
from specs.models import Spec


class Customer(models.Model):
    """A player or a dealer: who to talk to and where the instrument goes."""

    name = models.CharField(_("name"), max_length=120)
    is_dealer = models.BooleanField(_("dealer"), default=False)
    contact = models.CharField(_("contact person"), max_length=120, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    ship_to = models.CharField(_("ship-to address"), max_length=300, blank=True)
    country = models.CharField(_("ship-to country (ISO 3166 code)"), max_length=2)

    class Meta:
        app_label = "shop"
        ordering = ("name",)

    def __str__(self) -> str:
        return self.name


class OrderState(models.TextChoices):
    DRAFT = "draft", _("draft")
    PLACED = "placed", _("placed, deposit open")
    BUILDING = "building", _("deposit cleared")
    CLOSED = "closed", _("delivered")
    CANCELLED = "cancelled", _("cancelled")


class Order(models.Model):
    """One instrument somebody wants: customer, the spec wanted, and once the deposit clears its build."""

    number = models.CharField(_("number"), max_length=20, unique=True)
    customer = models.ForeignKey(Customer, models.PROTECT, null=True, related_name="orders")
    spec = models.OneToOneField(Spec, models.PROTECT, related_name="order")
    build = models.OneToOneField(Build, models.PROTECT, null=True, related_name="order")
    booking = models.OneToOneField(Booking, models.PROTECT, null=True, related_name="order")
    line = models.CharField(_("line"), max_length=10, choices=[("custom", _("custom")), ("series", _("series"))])
    state = models.CharField(max_length=10, choices=OrderState.choices, default=OrderState.DRAFT)
    permit = models.BooleanField(_("permit needed for listed wood"), default=False)
    carrier = models.BooleanField(_("shipped by carrier"), default=True)
    wanted_by = models.DateField(_("wanted by"), null=True, blank=True)
    promise = models.DateField(_("promise"), null=True, blank=True)
    remark = models.CharField(_("remark"), max_length=300, blank=True)
    like = models.ForeignKey("self", models.SET_NULL, null=True, related_name="+", verbose_name=_("as that one, but"))
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    taken_at = models.DateTimeField(_("taken"))
    placed_at = models.DateTimeField(null=True)
    deposit_at = models.DateTimeField(null=True)

    class Meta:
        app_label = "shop"
        ordering = ("-taken_at", "-pk")
        indexes = [
            models.Index(fields=("-taken_at", "-id"), name="order_by_day"),
            models.Index(fields=("state", "-taken_at", "-id"), name="order_by_state"),
        ]

    def __str__(self) -> str:
        return self.number


class Initialled(models.Model):
    """A caution somebody answered for: which rule on which revision, initials and reason."""

    spec = models.ForeignKey(Spec, models.PROTECT, related_name="initialled")
    rule = models.SlugField(max_length=80)
    field = models.CharField(max_length=80)
    message = models.TextField()
    initials = models.CharField(_("initials"), max_length=4)
    reason = models.CharField(_("reason"), max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        app_label = "shop"
        constraints = [models.UniqueConstraint(fields=("spec", "rule", "field"), name="initialled_once")]


class OrderEvent(models.Model):
    """One line of an order's history."""

    order = models.ForeignKey(Order, models.CASCADE, related_name="events")
    what = models.CharField(max_length=200)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        app_label = "shop"
        ordering = ("at", "pk")
