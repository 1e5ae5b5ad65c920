"""What benches measured that comes back into the numbers: saddle setbacks of setups, densities of planks."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from functools import reduce
from operator import or_

from django.db.models import OuterRef, Q, QuerySet, Subquery

from routing.catalogue import operation
from routing.models import Build, EventKind, MeasuredSetback, TaskEvent, TaskState
from specs.derived import Derived, String
from specs.document import BuildSpec
from specs.errors import Refused
from specs.models import Spec
from specs.released import instrument
from specs.wood.planks import Plank, planks_of

SETUP = operation("Setup: relief, action, intonation, pickups")
RECORDED = operation("Moisture, weight and origin recorded for the serial")
PARTS = ("body", "top", "neck", "fingerboard")
SAME_GAUGE_MM, SAME_SCALE_MM = 1e-6, 5.0
"""How far apart two strings may be and still be one string to the shop. **Source**: common practice."""

NEWEST = 400


def measured_setbacks(derived: Derived) -> dict[int, list[float]]:
    """Setbacks in mm the shop measured of each string, by trade number, newest first; one query.

    Measured at setups that stand (done, not taken back, the last time they were done), of the same gauge and winding
    at nearly the same scale.
    """
    alike = reduce(or_, (_like(string) for string in derived.strings))
    standing = MeasuredSetback.objects.filter(event=Subquery(_last_done().values("pk")[:1]))
    rows = standing.filter(alike, winding=derived.spec.strings.winding).order_by("-pk")
    kept = list(rows.values_list("gauge_mm", "scale_mm", "setback_mm")[:NEWEST])
    return {
        string.number: [mm for gauge, scale, mm in kept if _same(string, gauge, scale)] for string in derived.strings
    }


def _last_done() -> QuerySet[TaskEvent]:
    """The press that a measured setback's task is done by; none where it was opened again."""
    presses = TaskEvent.objects.filter(task=OuterRef("event__task"), task__state=TaskState.DONE)
    return presses.filter(kind=EventKind.DONE, undone_by=None).order_by("-pk")


def _like(string: String) -> Q:
    gauge, scale = string.gauge_mm, string.scale_mm
    return Q(
        gauge_mm__range=(gauge - SAME_GAUGE_MM, gauge + SAME_GAUGE_MM),
        scale_mm__range=(scale - SAME_SCALE_MM, scale + SAME_SCALE_MM),
    )


def _same(string: String, gauge_mm: float, scale_mm: float) -> bool:
    return abs(string.gauge_mm - gauge_mm) <= SAME_GAUGE_MM and abs(string.scale_mm - scale_mm) <= SAME_SCALE_MM


def keep_setbacks(*, event: TaskEvent, derived: Derived, setbacks_mm: Mapping[int, float]) -> None:
    """Write down the setbacks of one setup, by trade number."""
    MeasuredSetback.objects.bulk_create(
        MeasuredSetback(
            event=event, number=string.number, winding=derived.spec.strings.winding, gauge_mm=string.gauge_mm,
            scale_mm=string.scale_mm, setback_mm=setbacks_mm[string.number],
        )
        for string in derived.strings
        if string.number in setbacks_mm
    )  # fmt: skip


def weighed_planks(build: Build | None) -> tuple[Plank, ...]:
    """The planks weighed for a build, each of the wood its revision of that day asked for; one query without any."""
    weighing = _weighing(build)
    densities = _densities(weighing)
    if weighing is None or build is None or not densities:
        return ()
    try:
        return planks_of(_in_force(build.spec, weighing.at), densities)
    except Refused:
        return ()


def measured_densities(build: Build | None) -> dict[str, float]:
    """Densities in kg/m³ of the planks weighed for a build, by part; one query."""
    return _densities(_weighing(build))


def _weighing(build: Build | None) -> TaskEvent | None:
    """The last press that recorded a build's wood and stands."""
    if build is None:
        return None
    pressed = TaskEvent.objects.filter(task__build=build, task__operation=RECORDED.name, task__state=TaskState.DONE)
    return pressed.filter(kind=EventKind.DONE, undone_by=None).only("at", "readings").order_by("-pk").first()


def _densities(weighing: TaskEvent | None) -> dict[str, float]:
    readings = {} if weighing is None else weighing.readings
    return {part: readings[f"density {part}"] for part in PARTS if f"density {part}" in readings}


def _in_force(spec: Spec, at: datetime) -> BuildSpec:
    """The document a build followed at a moment. Raises Refused where an open one has problems."""
    while spec.previous is not None and (spec.released_at is None or spec.released_at > at):
        spec = spec.previous
    return instrument(spec).spec if spec.is_released else spec.build_spec()
