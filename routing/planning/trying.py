"""A trial plan worked out: the backlog as it is and as it would be, planned the same way, neither of them published."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Any

import numpy as np
from django.utils.translation import gettext as _

from routing.changes import Change, day_of
from routing.errors import WrongState
from routing.estimating import estimate_table
from routing.expand import build_rows
from routing.models import Qualification
from routing.plan.trial import Ground, closed, more_hours, one_more_person, one_more_place, with_rush
from routing.planning.capacity import ShopCapacity
from routing.planning.making import Line, Made, by_rule, carried_on, chosen
from routing.planning.ordered import OrderedWork, order_work, with_orders
from routing.planning.overtime import begins_of, stretches
from routing.planning.stored import PlanRows
from routing.rota import EPOCH
from specs.facts import OrderFacts
from specs.models import Pattern
from specs.parsing import parse

FIRST_TO_LAST = ("overtime", "closed", "person", "place", "orders", "rush")
"""Working time first, then what is in the shop, then the work."""

NEW_ORDER = OrderFacts(line="custom")


def as_planned(line: Line, published: PlanRows) -> Made:
    """The plan the shop would go on with. Raises ``PlanRefused``."""
    return chosen(by_rule(line), carried_on(line, published))


def changed(line: Line, changes: Sequence[Change], now: datetime) -> Line:
    """The line with everything tried. Raises ``WrongState`` where what is named is no longer there."""
    for change in sorted(changes, key=lambda one: FIRST_TO_LAST.index(one["kind"])):
        line = CHANGES[change["kind"]](line, change, now)
    return line


def _ground(line: Line) -> Ground:
    return Ground(line.problem, line.backlog.shop.local_day)


def _on(line: Line, ground: Ground, **crew: Any) -> Line:
    """The line on changed ground; ``crew`` changes who is there."""
    old, problem = line.backlog.shop, ground.problem
    shop = ShopCapacity(problem.axis, problem.capacity, replace(old.crew, able=problem.capacity.able, **crew),
                        ground.local_day)  # fmt: skip
    return replace(line, problem=problem, backlog=replace(line.backlog, shop=shop))


def _first(change: Change) -> int:
    return (day_of(change["first"]) or date.min).toordinal() - EPOCH


def _row(rows: Mapping[int, int], key: int) -> int:
    if key not in rows:
        raise WrongState(_("What the trial names is no longer there; try it again without."))
    return rows[key]


def _person(line: Line, change: Change, now: datetime) -> Line:
    crew = line.backlog.shop.crew
    more = one_more_person(_ground(line), _row(crew.person_rows, change["like"]), _first(change))
    return _on(line, more, people=[*crew.people, 0])


def _place(line: Line, change: Change, now: datetime) -> Line:
    station = _row(line.backlog.shop.crew.station_rows, change["station"])
    return _on(line, one_more_place(_ground(line), station, _first(change)))


def who_works_over(change: Change) -> list[int]:
    """Whose overtime it is: the person's, or of everybody who may work at the station."""
    if change["person"]:
        return [change["person"]]
    able = Qualification.objects.filter(station=change["station"], person__is_active=True)
    return sorted(able.values_list("person", flat=True))


def _overtime(line: Line, change: Change, now: datetime) -> Line:
    rows = line.backlog.shop.crew.person_rows
    found = {_row(rows, one): begins_of(stretches(one, change)) for one in who_works_over(change)}
    hours = {row: begins for row, (begins, _days) in found.items()}
    return _on(line, more_hours(_ground(line), hours, {row: days for row, (_begins, days) in found.items()}))


def _closed(line: Line, change: Change, now: datetime) -> Line:
    last = (day_of(change["last"]) or date.min).toordinal() - EPOCH
    return _on(line, closed(_ground(line), _first(change), last))


def _orders(line: Line, change: Change, now: datetime) -> Line:
    pattern, shop = Pattern.objects.filter(pk=change["pattern"]).first(), line.backlog.shop
    first = day_of(change["first"])
    if pattern is None or first is None:
        raise WrongState(_("That pattern is no longer there; try it again without."))
    due = date.fromordinal(first.toordinal() + 7 * change["weeks"])
    rows = build_rows(parse(pattern.document), NEW_ORDER, estimate_table())
    work = order_work(rows, shop, release=shop.begin_of(first), due=shop.end_of(due))
    return _longer(line, [work] * change["count"])


def _longer(line: Line, works: Sequence[OrderedWork]) -> Line:
    """The line with new orders behind all others; they have no keys of the database."""
    more = sum(len(work.tasks) for work in works)
    keys = {name: np.concatenate((column, np.zeros(more, dtype=np.int64))) for name, column in line.keys.items()}
    keys["position"][-more:] = np.concatenate([np.arange(len(work.tasks)) for work in works])
    return replace(line, problem=with_orders(line.problem, [work.work for work in works]), keys=keys)


def _rush(line: Line, change: Change, now: datetime) -> Line:
    orders = [place for place, row in enumerate(line.backlog.orders) if row.build == change["build"]]
    counts = [place for place in orders if line.problem.work.weight[place] > 0]
    if not counts:
        raise WrongState(_("That instrument has no work left that could go first."))
    return replace(line, problem=with_rush(line.problem, np.array(counts)))


CHANGES: Mapping[str, Callable[[Line, Change, datetime], Line]] = {
    "person": _person,
    "place": _place,
    "overtime": _overtime,
    "closed": _closed,
    "orders": _orders,
    "rush": _rush,
}
