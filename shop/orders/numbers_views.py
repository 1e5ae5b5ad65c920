"""The page of an order's further numbers, with its drawings, and of the room its wood rests in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from routing.measured import weighed_planks
from shop.orders.numbers import NumberList
from shop.orders.queries import order_or_404
from specs.derived import Derived
from specs.drawings.body_plan import body_drawing
from specs.drawings.headstock_plan import headstock_drawing
from specs.errors import Refused
from specs.numbers import numbers
from specs.released import current
from specs.wood.moisture import Acclimation, Reading, acclimation, emc_pct, release_window_pct
from specs.wood.planks import measured_kg_m3

USUAL_ROOM = {"celsius": "21", "rh_pct": "45"}
"""A room as workshops keep it. **Source**: common practice, no source."""

MOST_READINGS, MOST_PCT = 20, 60.0


class Readings(forms.CharField):
    """A plank's moisture readings, each a day and a percentage: ``2026-04-07 7.4, 2026-04-14 7.2``."""

    def clean(self, value: Any) -> tuple[Reading, ...]:
        """The readings. Raises ValidationError."""
        words = super().clean(value).replace(",", " ").replace(";", " ").split()
        if len(words) > 2 * MOST_READINGS:
            raise forms.ValidationError(_("Give at most %(most)s readings."), params={"most": MOST_READINGS})
        try:
            read = tuple(
                Reading(date.fromisoformat(day), float(pct)) for day, pct in zip(words[::2], words[1::2], strict=True)
            )
        except ValueError:
            raise forms.ValidationError(_("Write each reading as 2026-04-14 7.2, a day and a percentage.")) from None
        if not all(0 <= reading.moisture_pct <= MOST_PCT for reading in read):
            raise forms.ValidationError(_("A reading lies between 0 and 60 %."))
        return read


class RoomForm(forms.Form):
    """The room a plank rests in, its readings, and the last ones of what it will be glued to."""

    celsius = forms.FloatField(label=gettext_lazy("Temperature, °C"), min_value=-30, max_value=60)
    rh_pct = forms.FloatField(label=gettext_lazy("Relative humidity, %"), min_value=0, max_value=100)
    readings = Readings(
        label=gettext_lazy("Readings of the plank"), required=False, max_length=1000,
        help_text=gettext_lazy("day and percentage: 2026-04-07 7.4, 2026-04-14 7.2"),
    )  # fmt: skip
    partners = NumberList(
        label=gettext_lazy("Glue partners read, %"), required=False, most=MOST_READINGS,
        each=(MinValueValidator(0), MaxValueValidator(MOST_PCT)),
    )  # fmt: skip


@dataclass(frozen=True)
class Room:
    """What a room makes of wood, at which moisture a plank may leave it, and what the readings given say."""

    emc_pct: float
    window_pct: tuple[float, float] | None
    plank: Acclimation | None


def room(form: RoomForm) -> Room | None:
    """The answer to the form; None where a field has a problem."""
    if not form.is_valid():
        return None
    asked = form.cleaned_data
    equilibrium = emc_pct(asked["celsius"], asked["rh_pct"])
    plank = acclimation(asked["readings"], equilibrium, asked["partners"]) if asked["readings"] else None
    return Room(equilibrium, release_window_pct(equilibrium), plank)


def numbers_page(request: HttpRequest, number: str) -> HttpResponse:
    """Every further figure of an order's instrument, by subject."""
    order, form = order_or_404(number), RoomForm(USUAL_ROOM | request.GET.dict())
    try:
        derived = current(order.spec)
    except Refused as refused:
        context = {"order": order, "problems": refused.problems}
        return render(request, "orders/not_an_instrument.html", context, status=409)
    weighed = measured_kg_m3(derived.spec, weighed_planks(order.build))
    body = partial(body_drawing, densities=weighed)
    context = {
        "order": order,
        "hand": derived.spec.hand,
        "numbers": numbers(derived, densities=weighed),
        "body": _drawn(body, derived, _("Body and neck from above, with the balance point")),
        "headstock": _drawn(headstock_drawing, derived, _("Tuner posts and string paths from above")),
        "form": form,
        "room": room(form),
    }
    return render(request, "orders/numbers.html", context, status=400 if form.errors else 200)


def _drawn(drawing: Callable[..., str], derived: Derived, title: str) -> SafeString:
    """The drawing, or nothing where it cannot be drawn: its group says why."""
    try:
        return mark_safe(drawing(derived, title=title, say=_))  # escaped where it is written
    except Refused:
        return SafeString()
