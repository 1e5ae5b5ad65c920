"""The card of one task: everything a hand needs on one sheet, read from the stored answer of its spec."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property, lru_cache
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from routing.acts import is_manager
from routing.batches import DISPOSITION
from routing.catalogue import LOCAL_RULES_FIRST, Operation
from routing.measured import RECORDED, SETUP, measured_setbacks
from routing.models import Batch, EventKind, Kind, Station, Task, TaskEvent, TaskState
from routing.said import listed, waits_said
from routing.services import UNDO_FOR
from shop.floor.figures import BIG, DRILLED_FOR, OF_SADDLES, Figure, figures, scale_pair
from shop.floor.forms import REASONS, DoneForm, readings_asked
from shop.floor.measures import measures
from shop.orders.saddle_rows import SaddleRow, saddle_rows
from specs.derive import derive
from specs.derived import Derived, Finding
from specs.drawings.svg import board_drawing
from specs.errors import Refused
from specs.models import Spec
from specs.released import instrument, released
from specs.rules import RULES
from specs.tables import load_tables

COUNTS = {3: gettext_lazy("three"), 4: gettext_lazy("four"), 5: gettext_lazy("five"), 6: gettext_lazy("six"),
          7: gettext_lazy("seven"), 8: gettext_lazy("eight")}  # fmt: skip
NAMED_BEFORE = 2
MEASURING = (SETUP.name, RECORDED.name)
DRAWN_WIDTH = 700
EVENT_SHOWN = ("kind", "person", "at", "task__station", "task__operation", "task__build__serial")
_OPERATIONS_OF = {rule.slug: rule.operations for rule in RULES}


@dataclass
class Card:
    """One task as its page shows it; what a draft's problems keep from being computed stays empty.

    ``events`` are the fresh ones where they were read already.
    """

    task: Task
    row: Operation | None
    now: datetime
    person: Any
    instrument: Derived | None
    form: DoneForm
    refusal: str = ""
    revision: str = ""
    events: list[TaskEvent] | None = None
    problems: list[str] = field(default_factory=list)
    reasons: tuple[Any, ...] = REASONS
    local_rules_first: str = LOCAL_RULES_FIRST

    @property
    def can_start(self) -> bool:
        return (
            self.task.state == TaskState.READY
            and self.task.ready_at <= self.now
            and not (self.releases or self.decides)
        )

    @property
    def releases(self) -> bool:
        """Whether Done means releasing the order: it needs no start."""
        return self.row is not None and self.row.releases

    @property
    def is_batch(self) -> bool:
        """Whether the task is done once for a partner's whole batch."""
        return self.task.build.kind == Kind.BATCH

    @property
    def decides(self) -> bool:
        """Whether Done means deciding over a batch: that is done on the batch's page."""
        return self.is_batch and self.task.operation == DISPOSITION.name

    @property
    def can_done(self) -> bool:
        if self.decides:
            return False
        due = self.task.state == TaskState.READY and self.task.ready_at <= self.now
        return self.task.state == TaskState.ON_BENCH or (self.releases and due)

    @property
    def on_bench(self) -> bool:
        return self.task.state == TaskState.ON_BENCH

    @property
    def is_waiting(self) -> bool:
        return self.task.state == TaskState.READY and self.task.ready_at > self.now

    @property
    def waits(self) -> str:
        return waits_said(self.task)

    @property
    def can_hold(self) -> bool:
        return self.task.state not in (TaskState.HELD, TaskState.DONE)

    @cached_property
    def hold(self) -> Any:
        """The open hold of a held task."""
        return self.task.holds.filter(lifted_at=None).select_related("placed_by").first()

    @property
    def superseded(self) -> bool:
        """Whether the sheet in hand is of another revision than the build's."""
        return bool(self.revision) and self.revision != self.task.build.spec.revision

    @cached_property
    def undo(self) -> TaskEvent | None:
        """The event that may still be taken back by the person who looks."""
        events = fresh_events(self.task, self.person, self.now) if self.events is None else self.events
        return undoable(events, self.task, self.person)

    @cached_property
    def before(self) -> str:
        """What the task comes after, in words."""
        names = self.task.build.tasks.filter(position__in=self.task.after).order_by("position")
        said = [_lowered(_(name)) for name in (*names.values_list("operation", flat=True), *self.task.beyond)]
        more = len(said) - NAMED_BEFORE
        if more > 1:
            return _("{names} and {count} more").format(names=", ".join(said[:NAMED_BEFORE]), count=more)
        return ", ".join(said)

    @cached_property
    def instrument_said(self) -> str:
        """The instrument in one line: five strings, 37–34 in, ebony board."""
        if self.instrument is None:
            return ""
        if self.is_batch:
            return batch_said(self.task.build.batch)
        spec = self.instrument.spec
        count = str(COUNTS.get(spec.strings.count, spec.strings.count))
        pair = scale_pair(self.instrument)
        return _("{count} strings, {pair}, {wood} board").format(count=count, pair=pair, wood=_(spec.fingerboard.wood))

    @property
    def hand(self) -> str:
        """Left or right; the one fact that is never left out."""
        if self.is_batch and self.task.build.batch.left_pieces:
            return ""  # both hands come in one batch
        return self.instrument.spec.hand if self.instrument else str(_document(self.task.build.spec).get("hand", ""))

    @property
    def drawing(self) -> str:
        return _drawn(self.instrument) if self.instrument else ""

    @cached_property
    def all_figures(self) -> list[Figure]:
        return figures(self.row, self.instrument, self.person.units) if self.row and self.instrument else []

    @cached_property
    def saddles(self) -> tuple[SaddleRow, ...]:
        """Where every saddle goes, where the operation drills for it or sets it."""
        if self.row is None or self.instrument is None or not set(OF_SADDLES) & set(self.row.key_figures):
            return ()
        return saddle_rows(self.instrument, measured_setbacks(self.instrument))

    @property
    def drills(self) -> bool:
        """Whether the saddle's window is what the operation needs."""
        return self.row is not None and DRILLED_FOR in self.row.key_figures

    @property
    def big(self) -> list[Figure]:
        return self.all_figures[:BIG]

    @property
    def small(self) -> list[Figure]:
        return self.all_figures[BIG:]

    @property
    def notes(self) -> list[Finding]:
        """The stored findings that concern this operation."""
        spec = self.task.build.spec
        found = released(spec).findings if spec.is_released else ()
        return [one for one in found if self.task.operation in _OPERATIONS_OF.get(one.rule, ())]


def card(task: Task, person: Any, now: datetime, **more: Any) -> Card:
    """The card of a task that was read with its build, spec and station."""
    row, made = listed(task.operation), instrument_of(task.build.spec)
    form = more.pop("form", None) or done_form(None, task)
    return Card(task=task, row=row, now=now, person=person, instrument=made, form=form, **more)


def done_form(data: Any, task: Task) -> DoneForm:
    """The form of a task's Done: its checks' readings and what comes back into the numbers."""
    asked = measures(task.operation, instrument_of(task.build.spec)) if task.operation in MEASURING else ()
    return DoneForm(data, readings_asked(listed(task.operation)), asked)


def fresh_events(task: Task | None, person: Any, now: datetime) -> list[TaskEvent]:
    """Presses whose minute runs: of that person anywhere, of anybody on that task; oldest first, one query."""
    whose = Q(person=person) | Q(task=task) if task else Q(person=person)
    fresh = TaskEvent.objects.filter(whose, at__gte=now - UNDO_FOR)
    return list(fresh.select_related("task__build").only(*EVENT_SHOWN))


def undoable(events: list[TaskEvent], task: Task, person: Any) -> TaskEvent | None:
    """The last fresh event of a task, for whoever may take it back."""
    event = next((one for one in reversed(events) if one.task_id == task.pk), None)
    if event is None or event.kind == EventKind.UNDONE:
        return None
    return event if event.person_id == person.pk or is_manager(person) else None


def last_press(events: list[TaskEvent], station: Station, person: Any) -> TaskEvent | None:
    """What the person pressed last at a station."""
    mine = (one for one in reversed(events) if one.person_id == person.pk and one.task.station_id == station.pk)
    event = next(mine, None)
    return None if event is None or event.kind == EventKind.UNDONE else event


def batch_said(batch: Batch) -> str:
    """A batch in one line: 24 pieces, 2 left-handed, from Farshore Works."""
    many = ngettext("{n} piece", "{n} pieces", batch.pieces).format(n=batch.pieces)
    left = _(", {n} left-handed").format(n=batch.left_pieces) if batch.left_pieces else ""
    return _("{many}{left}, from {partner}").format(many=many, left=left, partner=batch.partner)


def _document(spec: Spec) -> dict[str, Any]:
    return spec.document if spec.is_released else spec.entered


def instrument_of(spec: Spec) -> Derived | None:
    """As stored once released; of a draft as computed now, nothing while the draft has problems."""
    if spec.is_released:
        return instrument(spec)
    try:
        return derive(spec.build_spec(), load_tables())
    except Refused:
        return None


@lru_cache(maxsize=128)
def _drawn(instrument: Derived) -> str:
    return board_drawing(instrument, width=DRAWN_WIDTH)


def _lowered(name: str) -> str:
    return name if name[:2].isupper() else name[:1].lower() + name[1:]
