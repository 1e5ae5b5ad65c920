"""What stands between an order and its release, and the traveller one press away, for the page of an order."""

from __future__ import annotations

from dataclasses import dataclass

from django import template
from django.utils import timezone

from routing.models import Task
from shop.orders.models import Order
from shop.orders.queries import Checked
from shop.papers.models import Sheet
from shop.papers.queries import in_the_way
from shop.papers.services import RELEASES, blocks
from specs.errors import Problem

register = template.Library()


@dataclass(frozen=True)
class BeforeRelease:
    """What still stands against a release, and the tasks it waits for at their stations."""

    problems: tuple[Problem, ...]
    tasks: list[Task]


@register.simple_tag
def before_release(order: Order, checked: Checked) -> BeforeRelease:
    """Everything to do before the order can be released; nothing where it can be."""
    problems = blocks(order, timezone.now(), checked)
    waits = any(problem.field == "tasks" for problem in problems)
    tasks = [task for task in in_the_way(order.build) if task.operation != RELEASES] if waits else []
    return BeforeRelease(problems, tasks)


@register.simple_tag
def printed(order: Order, sheets: object) -> Sheet | None:
    """The kept traveller of the order's released revision."""
    return next((sheet for sheet in sheets if sheet.file and sheet.spec_id == order.spec_id), None)
