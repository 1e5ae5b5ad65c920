"""What the API shows: orders, builds, tasks and stations, in pages of a stable order or one by one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.db.models import Count, F, IntegerField, OuterRef, Prefetch, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.http import Http404
from django.utils import timezone
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.generics import ListAPIView, RetrieveAPIView

from routing.models import Batch, Build, Hold, Kind, Task, TaskState
from routing.queries import StationNow, stations_now
from shop.api.asked import Asked, BuildFilters, DesignFilters, OrderFilters, Paged, TaskFilters, query_of
from shop.api.described import refusals
from shop.api.rows import (
    BatchRow,
    BatchWhole,
    BuildRow,
    BuildWhole,
    DesignRow,
    OrderRow,
    OrderWhole,
    StationRow,
    TaskRow,
    TaskWhole,
)
from shop.batches.queries import listed_batches
from shop.orders.models import Order
from shop.orders.queries import listed_orders
from specs.models import Pattern, Spec

TASKS = Task.objects.select_related("build", "station", "person").order_by("build_id", "position")


def _tasks_of_build(**narrower: Any) -> Coalesce:
    """How many tasks a build has, counted for the rows of one page only."""
    mine = Task.objects.filter(build=OuterRef("pk"), **narrower).order_by().values("build")
    return Coalesce(Subquery(mine.annotate(many=Count("pk")).values("many")), 0, output_field=IntegerField())


BUILDS = (
    Build.objects.select_related("spec__previous", "order", "batch")
    .annotate(task_count=_tasks_of_build(), tasks_done=_tasks_of_build(state=TaskState.DONE))
    .order_by("-made_at", "-pk")
)


PROTOTYPED = (
    Spec.objects.filter(builds__kind=Kind.PROTOTYPE, builds__cancelled_at=None)
    .order_by("pk")
    .only("pattern_id")
    .annotate(serial=F("builds__serial"))
)


def shown(
    name: str, summary: str, row: type[serializers.Serializer], asks: type[Asked] | None = None
) -> Callable[[type], type]:
    """Describe a view that shows one thing, or a list of them where it asks for a page."""
    if asks is None:
        said = extend_schema(operation_id=name, summary=summary, responses={200: row, **refusals(401, 403, 404)})
    else:
        responses = {200: row(many=True), **refusals(400, 401, 403, 404)}
        said = extend_schema(operation_id=name, summary=summary, parameters=[asks], responses=responses)
    return extend_schema_view(get=said)


class Listing(ListAPIView):
    """Pages of rows, narrowed by the query parameters ``asks`` declares."""

    asks: type[Asked] = Paged

    def filter_queryset(self, queryset: QuerySet) -> QuerySet:
        asked = query_of(self.request, self.asks)
        return self.narrowed(queryset, {name: value for name, value in asked.items() if not name.startswith("page")})

    def narrowed(self, rows: QuerySet, asked: dict[str, Any]) -> QuerySet:
        """The rows that were asked for."""
        return rows


@shown("list_orders", "Orders, newest first", OrderRow, asks=OrderFilters)
class Orders(Listing):
    queryset = Order.objects.all()
    serializer_class = OrderRow
    asks = OrderFilters

    def narrowed(self, rows: QuerySet[Order], asked: dict[str, Any]) -> QuerySet[Order]:
        return listed_orders(state=asked.get("state", ""), line=asked.get("line", ""), text=asked.get("q", ""))


@shown("get_order", "One order with its spec, what was initialled, and its history", OrderWhole)
class OneOrder(RetrieveAPIView):
    serializer_class = OrderWhole
    lookup_field = "number"

    def get_queryset(self) -> QuerySet[Order]:
        whole = listed_orders().defer(None).select_related("customer", "spec__previous", "build", "taken_by")
        return whole.prefetch_related("spec__initialled", "events__person")


@shown("list_builds", "Builds, newest first", BuildRow, asks=BuildFilters)
class Builds(Listing):
    queryset = BUILDS.defer("spec__entered", "spec__document", "spec__answer")
    serializer_class = BuildRow
    asks = BuildFilters

    def narrowed(self, rows: QuerySet[Build], asked: dict[str, Any]) -> QuerySet[Build]:
        if "open" in asked:
            rows = rows.filter(finished_at=None, cancelled_at=None)
        if "line" in asked:
            rows = rows.filter(line=asked["line"])
        return rows.filter(serial__icontains=asked.get("q", ""))


@shown("get_build", "One build with the spec it follows and its network of tasks", BuildWhole)
class OneBuild(RetrieveAPIView):
    queryset = BUILDS.prefetch_related(Prefetch("tasks", TASKS))
    serializer_class = BuildWhole
    lookup_field = "serial"


@shown("list_batches", "Partner-built batches, newest first", BatchRow, asks=Paged)
class Batches(Listing):
    serializer_class = BatchRow

    def get_queryset(self) -> QuerySet[Batch]:
        return listed_batches()


@shown("get_batch", "One batch with its instruments", BatchWhole)
class OneBatch(RetrieveAPIView):
    serializer_class = BatchWhole
    lookup_field = "number"

    def get_queryset(self) -> QuerySet[Batch]:
        builds = Build.objects.select_related("order").order_by("serial")
        return listed_batches().prefetch_related(Prefetch("builds", builds))


@shown("list_tasks", "Tasks by build and position", TaskRow, asks=TaskFilters)
class Tasks(Listing):
    queryset = TASKS
    serializer_class = TaskRow
    asks = TaskFilters
    exact = (("station", "station__slug"), ("state", "state"), ("build", "build__serial"))

    def narrowed(self, rows: QuerySet[Task], asked: dict[str, Any]) -> QuerySet[Task]:
        rows = rows.filter(Q(*((field, asked[name]) for name, field in self.exact if name in asked)))
        return rows.ready(timezone.now()).filter(build__cancelled_at=None) if "ready" in asked else rows


@shown("get_task", "One task with its open hold and its log", TaskWhole)
class OneTask(RetrieveAPIView):
    serializer_class = TaskWhole
    lookup_url_kwarg = "task_id"

    def get_queryset(self) -> QuerySet[Task]:
        open_holds = Prefetch("holds", Hold.objects.filter(lifted_at=None).select_related("placed_by"), "open_holds")
        return TASKS.prefetch_related(open_holds, "events__person")


@shown("list_designs", "Designs from idea to offered, with their prototypes", DesignRow, asks=DesignFilters)
class Designs(Listing):
    queryset = Pattern.objects.prefetch_related(Prefetch("specs", PROTOTYPED, "prototyped")).order_by("name", "pk")
    serializer_class = DesignRow
    asks = DesignFilters

    def narrowed(self, rows: QuerySet[Pattern], asked: dict[str, Any]) -> QuerySet[Pattern]:
        return rows.filter(stage=asked["stage"]) if "stage" in asked else rows


@shown("list_stations", "Stations on the walk through the shop, with what stands there", StationRow, asks=Paged)
class Stations(Listing):
    serializer_class = StationRow

    def get_queryset(self) -> list[StationNow]:
        return stations_now(timezone.now())


@shown("get_station", "One station with what stands there", StationRow)
class OneStation(RetrieveAPIView):
    serializer_class = StationRow

    def get_object(self) -> StationNow:
        for row in stations_now(timezone.now()):
            if row.station.slug == self.kwargs["slug"]:
                return row
        raise Http404
