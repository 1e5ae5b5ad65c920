"""A chosen set of strings written into an order's draft."""

from __future__ import annotations

import copy
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _

from shop.orders.entries import Document, strings_in
from shop.orders.models import Order
from shop.orders.services import keep_draft
from shop.orders.string_choice import Known, unit_weights
from shop.people.models import Person
from specs.errors import Refused


def use_set(
    *, order: Order, known: Known, gauges_in: Sequence[float], version: int, person: Person, now: datetime
) -> Order:
    """The draft with that set, its winding and the shop's own weights; cores of strings that change are left open.

    Raises ``Refused`` for a gauge that is not known, another number of strings, or a placed order that could no
    longer be built; ``WrongState`` where the draft was kept since, or is no longer open.
    """
    try:
        weights = unit_weights(known, gauges_in)
        texts = [gauge_text(known.wire(gauge_in).gauge_in) for gauge_in in gauges_in]
    except KeyError as unknown:
        raise Refused.one("strings.gauges", "unknown-string", _unknown(known, unknown.args[0])) from unknown
    entered = order.spec.entered
    if len(texts) != strings_in(entered):
        raise Refused.one("strings.gauges", "count", _("Choose one gauge for every string."))
    changed = _strung(entered, {"gauges": texts, "winding": known.winding, "unit_weights": weights})
    return keep_draft(order=order, entered=changed, version=version, person=person, now=now, say=True)


def gauge_text(gauge_in: float) -> str:
    """A gauge as a document writes it: .130 in."""
    whole, _point, decimals = f"{gauge_in:.6f}".partition(".")
    return f"{'' if whole == '0' else whole}.{decimals.rstrip('0'):0<3} in"


def _strung(entered: Document, strings: dict[str, Any]) -> Document:
    changed = copy.deepcopy(entered)
    before = changed["strings"]
    changed["strings"] = before | strings
    cores = before.get("cores")
    if isinstance(cores, list):
        pairs = zip(cores, before.get("gauges", []), strings["gauges"], strict=False)
        kept = [core if was == now else None for core, was, now in pairs]
        changed["strings"]["cores"] = kept if any(kept) else None
    return changed


def _unknown(known: Known, gauge_in: float) -> str:
    said = _("There is no {winding} string of {gauge}: choose one that is published, or weigh it.")
    return said.format(winding=_(known.winding), gauge=gauge_text(gauge_in))
