"""What the order form asks: an input for every declared value of a spec document, in zones, with what is said of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from shop.orders.checking import Checked
from shop.orders.entries import MOST_PICKUPS, YES, fields_of, is_blocks, is_per_string, joined, strings_in, worded
from shop.orders.zones import RARE, ZONES, in_one_line
from specs.document import FEWEST_STRINGS, MOST_STRINGS, BuildSpec, Pickup, Row
from specs.errors import Problem
from specs.fields import Choice, Declared, Flag, Length, Number, Text, declared

NOT_ASKED = ("format",)
OPENING = ("stop", "caution")
"""What is said so gravely that its zone opens."""

WHOLE = "document"
"""The slot of whatever belongs to no field of the form."""


@dataclass(frozen=True)
class Said:
    """Something said beside a field: a stop, a caution, a note, or what it was before."""

    kind: str
    text: str


@dataclass(frozen=True)
class Input:
    """One input: its name is the dotted path of its value, ``widget`` how it is asked."""

    path: str
    label: str
    widget: str
    typed: str
    said: tuple[Said, ...] = ()
    options: tuple[str, ...] = ()
    hint: str = ""
    empty: str = ""

    @property
    def slug(self) -> str:
        """The path as an address within the page."""
        return slug(self.path)

    @property
    def ticked(self) -> bool:
        """Whether a flag is set."""
        return self.typed == YES

    @property
    def bad(self) -> bool:
        """Whether something stops at this field."""
        return any(said.kind == "stop" for said in self.said)

    @property
    def is_spoken(self) -> bool:
        """Whether a stop or a caution stands at this field."""
        return any(said.kind in OPENING for said in self.said)


@dataclass(frozen=True)
class Group:
    """The inputs of one section: those every order settles, and the seldom touched ones."""

    label: str
    usual: tuple[Input, ...]
    more: tuple[Input, ...]

    @property
    def more_said(self) -> bool:
        """Whether something is said at a seldom touched one."""
        return any(one.is_spoken for one in self.more)


@dataclass(frozen=True)
class StringColumn:
    """One per-string value: the head of its column."""

    label: str
    slug: str
    said: tuple[Said, ...]


@dataclass(frozen=True)
class StringLine:
    """The inputs of one string, by its trade number (1 is the highest)."""

    number: int
    inputs: tuple[Input, ...]


@dataclass(frozen=True)
class PickupBlock:
    """The inputs of one pickup and of its coil rows."""

    at: int
    path: str
    slug: str
    inputs: tuple[Input, ...]
    rows: tuple[tuple[Input, ...], ...]
    rows_slug: str
    rows_said: tuple[Said, ...]


@dataclass(frozen=True)
class StringTable:
    """Some of the per-string values: a column each, a line a string."""

    columns: tuple[StringColumn, ...]
    lines: tuple[StringLine, ...]

    @property
    def is_spoken(self) -> bool:
        """Whether a stop or a caution stands in it."""
        heads = any(said.kind in OPENING for column in self.columns for said in column.said)
        return heads or any(one.is_spoken for line in self.lines for one in line.inputs)


@dataclass(frozen=True)
class Zone:
    """A ruled zone of the form that opens and closes; ``line`` says what is chosen in it."""

    slug: str
    title: str
    line: str
    groups: tuple[Group, ...]
    stops: int
    cautions: int

    @property
    def is_open(self) -> bool:
        """The first zone stands open, and every zone in which something is said."""
        return self.slug == ZONES[0][0] or bool(self.stops or self.cautions)


@dataclass(frozen=True)
class Asked:
    """The whole form: zones, the lines of the strings, the pickups, and what is said at no field."""

    zones: tuple[Zone, ...]
    counts: tuple[int, ...]
    count: int
    strings: StringTable
    strings_more: StringTable
    pickups: tuple[PickupBlock, ...]
    pickups_said: tuple[Said, ...]
    said: Mapping[str, tuple[Said, ...]]
    fields: Mapping[str, str]

    @property
    def stops(self) -> int:
        """How many stops stand in the form."""
        return _count(self.said.values(), "stop")

    @property
    def cautions(self) -> int:
        """How many cautions stand in the form."""
        return _count(self.said.values(), "caution")

    @property
    def whole(self) -> tuple[Said, ...]:
        """What is said of the whole document."""
        return self.said.get(WHOLE, ())

    @property
    def count_said(self) -> tuple[Said, ...]:
        """What is said of the number of strings."""
        return self.said.get("strings.count", ())

    @property
    def room_for_pickup(self) -> bool:
        """Whether another pickup may be added."""
        return len(self.pickups) < MOST_PICKUPS

    @property
    def spoken(self) -> str:
        """The fields something is said at, as the page sends them back."""
        return " ".join(self.said)


def slug(path: str) -> str:
    """A dotted path as the end of an element's id."""
    return path.replace(".", "-")


def asked(document: Mapping[str, Any], checked: Checked, beside: Iterable[Problem] = ()) -> Asked:
    """The form for a document as typed, with what was found about it; ``beside`` are problems of other fields."""
    fields = fields_of(document)
    said = said_at(fields, checked, beside)
    form = _Form(fields, said, strings_in(document))
    return Asked(
        zones=tuple(form.zone(*zone) for zone in ZONES),
        counts=tuple(range(FEWEST_STRINGS, MOST_STRINGS + 1)),
        count=form.count,
        strings=form.strings(rare=False),
        strings_more=form.strings(rare=True),
        pickups=tuple(form.pickups()),
        pickups_said=said.get("pickups", ()),
        said=said,
        fields=fields,
    )


def said_at(fields: Mapping[str, str], checked: Checked, beside: Iterable[Problem] = ()) -> dict[str, tuple[Said, ...]]:
    """What is said at which field; a path without a field of its own is told at the nearest above it."""
    found: dict[str, list[Said]] = {}
    for path, said in _everything(checked, beside):
        found.setdefault(slot(path, fields), []).append(said)
    return {path: tuple(dict.fromkeys(said)) for path, said in found.items()}


def _everything(checked: Checked, beside: Iterable[Problem]) -> Iterator[tuple[str, Said]]:
    for problem in (*checked.problems, *beside):
        yield problem.field, Said("stop", problem.message)
    for kind, findings in (("stop", checked.errors), ("caution", checked.cautions)):
        for finding in findings:
            yield finding.field, Said(kind, finding.message)
    for difference in checked.differences:
        yield difference.path, Said("was", worded(difference.path, difference.old))


_LISTS = frozenset({"strings.tuning", "strings.gauges", "strings.cores", "strings.unit_weights", "action.h_saddle"})
ORDER_FIELDS = frozenset({"customer", "wanted_by", "remark"})


def slot(path: str, fields: Mapping[str, str]) -> str:
    """The field of the form at which something about that path is said."""
    parts = path.split(".")
    while parts:
        here = ".".join(parts)
        if here in fields or here in _LISTS or here in ORDER_FIELDS or here == "strings":
            return "strings.count" if here == "strings" else here
        if len(parts) == 4 and parts[0] == "pickups" and parts[2] == "rows":
            return ".".join(parts[:3])
        parts.pop()
    return WHOLE


class _Form:
    """One walk over the declarations with the texts that stand in the fields."""

    def __init__(self, fields: Mapping[str, str], said: Mapping[str, tuple[Said, ...]], count: int) -> None:
        self.fields, self.said, self.count = fields, said, count

    def zone(self, name: str, title: Promise, keys: tuple[str, ...]) -> Zone:
        items = {item.key: item for item in declared(BuildSpec)}
        groups = tuple(self.group(items[key]) for key in keys if not is_blocks(items[key]))
        here = [said for path, said in self.said.items() if path.split(".")[0] in keys]
        line = in_one_line(name, {**self.fields, "strings.count": str(self.count)})
        return Zone(name, str(title), line, groups, _count(here, "stop"), _count(here, "caution"))

    def group(self, item: Declared) -> Group:
        if not item.is_section:
            return Group("", (self.input(item, item.key),), ())
        inputs = self.section(item.kind, item.key)
        more = tuple(one for one in inputs if one.path in RARE)
        return Group(item.label, tuple(one for one in inputs if one not in more), more)

    def section(self, of: type, path: str) -> tuple[Input, ...]:
        single = (item for item in declared(of) if not is_per_string(item) and not is_blocks(item))
        return tuple(self.input(item, joined(path, item.key)) for item in single)

    def strings(self, *, rare: bool) -> StringTable:
        items = [(item, path) for item, path in _per_string_items() if (path in RARE) is rare]
        columns = (StringColumn(item.label, slug(path), self.said.get(path, ())) for item, path in items)
        return StringTable(tuple(columns), tuple(self.line(at, items) for at in range(self.count)))

    def line(self, at: int, items: Iterable[tuple[Declared, str]]) -> StringLine:
        number = self.count - at
        return StringLine(number, tuple(self.input(item, joined(path, at), number) for item, path in items))

    def pickups(self) -> Iterator[PickupBlock]:
        for at in range(int(self.fields.get("pickups", "0"))):
            path = joined("pickups", at)
            rows = joined(path, "rows")
            row_paths = [joined(rows, row) for row in range(int(self.fields[rows]))]
            yield PickupBlock(
                at, path, slug(path), self.section(Pickup, path),
                tuple(self.section(Row, row_path) for row_path in row_paths), slug(rows), self.said.get(rows, ()),
            )  # fmt: skip

    def input(self, item: Declared, path: str, string: int | None = None) -> Input:
        kind = item.kind.of if is_per_string(item) else item.kind
        label = item.label if string is None else str(_("{label}, string {n}")).format(label=item.label, n=string)
        return Input(
            path, label, _widget(kind), self.fields.get(path, ""), self.said.get(path, ()),
            _options(kind, self.fields.get(path, "")), item.help, getattr(kind, "or_null", ""),
        )  # fmt: skip


def _count(said: Iterable[tuple[Said, ...]], kind: str) -> int:
    return sum(one.kind == kind for here in said for one in here)


def _per_string_items() -> Iterator[tuple[Declared, str]]:
    for section in ("strings", "action"):
        of = next(item.kind for item in declared(BuildSpec) if item.key == section)
        for item in declared(of):
            if is_per_string(item):
                yield item, joined(section, item.key)


def _widget(kind: Any) -> str:
    match kind:
        case Flag():
            return "tick"
        case Choice():
            return "choice"
        case Text(longest=longest) if longest > 200:
            return "lines"
        case Number() | Length():
            return "figure"
    return "line"


def _options(kind: Any, typed: str) -> tuple[str, ...]:
    """The words offered; one that is no longer offered stays selectable where it stands."""
    values = getattr(kind, "values", ())
    return (typed, *values) if values and typed not in values else values
