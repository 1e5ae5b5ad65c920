"""What is read across orders: the list, one order's facts and its answer, its way through the shop."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from django.db.models import Count, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.http import Http404

from routing.adjustments import EstimateTable
from routing.catalogue import operation
from routing.estimating import estimate_table
from routing.measured import weighed_planks
from routing.models import Task, TaskState
from shop.environment import read
from shop.orders.checking import Caution, Checked, changed_paths, check_entered
from shop.orders.models import Order, OrderState
from specs.facts import OrderFacts
from specs.models import Spec

__all__ = ["Checked", "check_entered", "check_order", "facts_of", "listed_orders", "one_order", "order_or_404"]

PAGE = 50
WHITE_WOOD = operation("White-wood inspection (hold point)")
OPEN = (OrderState.DRAFT, OrderState.PLACED, OrderState.BUILDING)
DOCUMENTS = ("spec__entered", "spec__document", "spec__answer", "spec__table_versions", "spec__pattern__document")
"""What an order's list never shows, and what would be most of what it reads."""
KEPT_OF_A_RELEASE = ("spec__document", "spec__answer", "spec__table_versions", "spec__previous__answer")
"""What an order's page reads through ``specs.released``, once."""


def facts_of(order: Order) -> OrderFacts:
    """What rules and work need to know of an order beside its spec; one query where it has a build."""
    abroad = order.customer is not None and order.customer.country.upper() != read("HEELBLOCK_COUNTRY").upper()
    planks = weighed_planks(order.build)
    return OrderFacts(line=order.line, export=abroad, permit=order.permit, carrier=order.carrier, planks=planks)


def check_order(
    order: Order, *, now: datetime, entered: Mapping[str, Any] | None = None, facts: OrderFacts | None = None
) -> Checked:
    """The answer to an order as kept, or as ``entered`` in its form; ``facts`` where they were read already."""
    asked = order.spec.entered if entered is None else entered
    start, facts = started_from(order), facts or facts_of(order)
    if past_white_wood(order):
        facts = replace(facts, past_white_wood=True, changed=changed_paths(start, asked))
    estimates = estimates_of(order)
    return check_entered(asked, facts, now=now, initialled=initialled_on(order), start=start, estimates=estimates)


def estimates_of(order: Order) -> EstimateTable:
    """The accepted hours that count for the order's build, or would for one made now; one query."""
    return estimate_table(order.build.made_at if order.build else None)


def past_white_wood(order: Order) -> bool:
    """Whether a revision comes after the white wood was signed off, when wood, scale and places are fixed."""
    if order.build is None or order.spec.previous_id is None:
        return False
    return order.build.tasks.filter(operation=WHITE_WOOD.name, state=TaskState.DONE).exists()


def initialled_on(order: Order) -> frozenset[Caution]:
    """The cautions answered for on the order's present revision."""
    return frozenset(order.spec.initialled.values_list("rule", "field", "message"))


def can_be_typed(order: Order) -> bool:
    """Whether the order's present revision is still open."""
    return order.state in OPEN and not order.spec.is_released


def started_from(order: Order) -> Mapping[str, Any] | None:
    """The document an order is compared with: of the revision before, the earlier order, or the pattern."""
    if order.spec.previous is not None:
        return order.spec.previous.document
    if order.like_id is not None:
        like = Spec.objects.only("document", "entered").get(order=order.like_id)
        return like.document or like.entered
    return order.spec.pattern.document if order.spec.pattern else None


def one_order(number: str, without: Sequence[str] = ()) -> Order:
    """The order of that number with everything its pages show of it but ``without``. Raises ``Order.DoesNotExist``."""
    related = ("customer", "spec__pattern", "spec__previous", "build", "taken_by")
    return Order.objects.select_related(*related).defer(*without).get(number=number)


def listed_orders(*, state: str = "", line: str = "", text: str = "") -> QuerySet[Order]:
    """Orders, newest first, each with how many tasks it has and how many are done; without their documents."""
    orders = Order.objects.select_related("customer", "spec__pattern", "build").defer(*DOCUMENTS)
    orders = orders.annotate(tasks=_counted(), done=_counted(state=TaskState.DONE)).order_by("-taken_at", "-pk")
    if state in OrderState.values:
        orders = orders.filter(state=state)
    if line in ("custom", "series"):
        orders = orders.filter(line=line)
    for part in text.split():
        orders = orders.filter(
            Q(number__icontains=part) | Q(customer__name__icontains=part) | Q(remark__icontains=part)
        )
    return orders


def _counted(**narrowed: Any) -> Coalesce:
    """How many such tasks the order's build has, counted for the rows shown only."""
    here = Task.objects.filter(build=OuterRef("build"), **narrowed).order_by().values("build")
    return Coalesce(Subquery(here.annotate(n=Count("pk")).values("n")), 0)


def order_or_404(number: str, without: Sequence[str] = ()) -> Order:
    """The order of that number. Raises ``Http404``."""
    try:
        return one_order(number, without)
    except Order.DoesNotExist:
        raise Http404(number) from None
