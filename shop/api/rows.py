"""How orders, specs, builds, tasks and stations are written in the API."""

from __future__ import annotations

from rest_framework import serializers

from routing.models import Batch, Build, Hold, Task, TaskEvent
from shop.orders.models import Customer, Initialled, Order, OrderEvent
from specs.models import Pattern, Spec


class Positions(serializers.ListField):
    child = serializers.IntegerField()


class Operations(serializers.ListField):
    child = serializers.CharField()


class Named(serializers.CharField):
    """A person by name."""


class CustomerRow(serializers.ModelSerializer):
    class Meta:
        model = Customer
        fields = read_only_fields = ("name", "is_dealer", "country")


class SpecRow(serializers.ModelSerializer):
    class Meta:
        model = Spec
        fields = read_only_fields = ("revision", "released_at", "digest")


class SpecWhole(serializers.ModelSerializer):
    previous = serializers.CharField(source="previous.revision", allow_null=True, read_only=True)
    entered = serializers.DictField(read_only=True)
    document = serializers.DictField(read_only=True, allow_null=True)
    answer = serializers.DictField(read_only=True, allow_null=True)
    table_versions = serializers.DictField(child=serializers.CharField(), read_only=True, allow_null=True)

    class Meta:
        model = Spec
        fields = read_only_fields = (
            *SpecRow.Meta.fields, "previous", "entered", "document", "answer", "table_versions",
        )  # fmt: skip


class OrderRow(serializers.ModelSerializer):
    customer = CustomerRow(allow_null=True, read_only=True)
    spec = SpecRow(read_only=True)
    build = serializers.CharField(source="build.serial", allow_null=True, read_only=True)
    tasks = serializers.IntegerField(read_only=True)
    tasks_done = serializers.IntegerField(source="done", read_only=True)

    class Meta:
        model = Order
        fields = read_only_fields = (
            "number", "state", "line", "customer", "spec", "build", "tasks", "tasks_done", "permit", "carrier",
            "wanted_by", "promise", "remark", "taken_at", "placed_at", "deposit_at",
        )  # fmt: skip


class OrderEventRow(serializers.ModelSerializer):
    person = Named(read_only=True)

    class Meta:
        model = OrderEvent
        fields = read_only_fields = ("at", "what", "person")


class InitialledRow(serializers.ModelSerializer):
    class Meta:
        model = Initialled
        fields = read_only_fields = ("rule", "field", "message", "initials", "reason", "at")


class OrderWhole(OrderRow):
    spec = SpecWhole(read_only=True)
    initialled = InitialledRow(source="spec.initialled", many=True, read_only=True)
    taken_by = Named(read_only=True)
    events = OrderEventRow(many=True, read_only=True)

    class Meta:
        model = Order
        fields = read_only_fields = (*OrderRow.Meta.fields, "taken_by", "initialled", "events")


class TaskRow(serializers.ModelSerializer):
    """``ready`` with a ``ready_at`` still to come is waiting for a cure or a rest."""

    build = serializers.CharField(source="build.serial", read_only=True)
    promise = serializers.DateField(source="build.promise", allow_null=True, read_only=True)
    station = serializers.SlugField(source="station.slug", read_only=True)
    after = Positions(read_only=True, help_text="positions, in the same build, of what must be done before")
    beyond = Operations(read_only=True, help_text="operations, in other builds of the batch, that must be done before")
    person = Named(allow_null=True, read_only=True)

    class Meta:
        model = Task
        fields = read_only_fields = (
            "id", "build", "promise", "position", "operation", "station", "after", "beyond", "state", "ready_at",
            "started_at", "done_at", "person", "low_h", "usual_h", "high_h", "wait_h", "touched_s",
        )  # fmt: skip


class HoldRow(serializers.ModelSerializer):
    placed_by = Named(read_only=True)

    class Meta:
        model = Hold
        fields = read_only_fields = ("reason", "placed_by", "placed_at")


class TaskEventRow(serializers.ModelSerializer):
    person = Named(read_only=True)
    readings = serializers.DictField(read_only=True)

    class Meta:
        model = TaskEvent
        fields = read_only_fields = ("at", "kind", "person", "note", "readings")


class TaskWhole(TaskRow):
    holds = HoldRow(source="open_holds", many=True, read_only=True)
    events = TaskEventRow(many=True, read_only=True)

    class Meta:
        model = Task
        fields = read_only_fields = (*TaskRow.Meta.fields, "holds", "events")


class BuildRow(serializers.ModelSerializer):
    """Of kind ``batch``: the work done once for all instruments of a partner's batch."""

    order = serializers.CharField(source="order.number", allow_null=True, read_only=True)
    batch = serializers.CharField(source="batch.number", allow_null=True, read_only=True)
    spec = SpecRow(read_only=True)
    task_count = serializers.IntegerField(read_only=True)
    tasks_done = serializers.IntegerField(read_only=True)

    class Meta:
        model = Build
        fields = read_only_fields = (
            "serial", "kind", "order", "batch", "spec", "line", "export", "permit", "weight", "promise", "release_date",
            "made_at", "released_at", "finished_at", "cancelled_at", "task_count", "tasks_done",
        )  # fmt: skip


class BuildWhole(BuildRow):
    spec = SpecWhole(read_only=True)
    tasks = TaskRow(many=True, read_only=True)

    class Meta:
        model = Build
        fields = read_only_fields = (*BuildRow.Meta.fields, "tasks")


class BatchRow(serializers.ModelSerializer):
    """``received`` is null until the batch is counted in, ``outcome`` empty until it is decided over."""

    pattern = serializers.CharField(source="pattern.name", read_only=True)
    revision = serializers.CharField(source="spec.revision", read_only=True)
    alive = serializers.IntegerField(read_only=True, help_text="instruments neither missing nor returned")
    reserved = serializers.IntegerField(read_only=True)
    finished = serializers.IntegerField(read_only=True)

    class Meta:
        model = Batch
        fields = read_only_fields = (
            "number", "partner", "pattern", "revision", "pieces", "left_pieces", "ordered_at", "expected_on",
            "received", "received_at", "outcome", "alive", "reserved", "finished",
        )  # fmt: skip


class PieceRow(serializers.ModelSerializer):
    order = serializers.CharField(source="order.number", allow_null=True, read_only=True)

    class Meta:
        model = Build
        fields = read_only_fields = (
            "serial", "kind", "order", "is_drawn", "promise", "finished_at", "cancelled_at",
        )  # fmt: skip


class BatchWhole(BatchRow):
    builds = PieceRow(many=True, read_only=True, help_text="its instruments and, of kind batch, its own work")

    class Meta:
        model = Batch
        fields = read_only_fields = (*BatchRow.Meta.fields, "builds")


class DesignRow(serializers.ModelSerializer):
    prototypes = serializers.SerializerMethodField(help_text="serials of their builds")

    def get_prototypes(self, pattern: Pattern) -> list[str]:
        return [spec.serial for spec in pattern.prototyped]

    class Meta:
        model = Pattern
        fields = read_only_fields = ("name", "stage", "line", "strings", "about", "prototypes")


class StationRow(serializers.Serializer):
    slug = serializers.SlugField(source="station.slug", read_only=True)
    name = serializers.CharField(source="station.name", read_only=True)
    position = serializers.IntegerField(source="station.position", read_only=True)
    places = serializers.IntegerField(source="station.places", read_only=True)
    caution = serializers.CharField(source="station.caution", read_only=True)
    ready = serializers.IntegerField(read_only=True)
    on_bench = serializers.IntegerField(read_only=True)
    waiting = serializers.IntegerField(read_only=True)
    held = serializers.IntegerField(read_only=True)


class ProblemRow(serializers.Serializer):
    field = serializers.CharField(help_text="a dotted path, list positions from 0; document or request for the whole")
    code = serializers.CharField()
    message = serializers.CharField(help_text="what is wrong and what to do")


class Problems(serializers.Serializer):
    problems = ProblemRow(many=True)


class TaskProblems(Problems):
    """A refusal that comes too late, with the task as it is now."""

    task = TaskRow()


class TokenRow(serializers.Serializer):
    token = serializers.CharField(help_text="sent as: Authorization: Token ...")
