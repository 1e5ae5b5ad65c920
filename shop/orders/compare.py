"""Two instruments side by side: the numbers that differ, with how much, and what differs in their documents."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from shop.orders.checking import Checked
from specs.canonical import complete
from specs.derived import Derived, String
from specs.differences import Difference, differences

Values = tuple[float | None, float | None]


@dataclass(frozen=True)
class Side:
    """One of the two: its name, its document as it is to be read, and what follows from it."""

    name: str
    document: Mapping[str, Any]
    checked: Checked
    derived: Derived


@dataclass(frozen=True)
class Line:
    """One number of both: what it is, its unit (``length`` follows the reader's), and how much more the second has."""

    label: str
    unit: str
    places: int
    values: Values

    @property
    def more(self) -> float | None:
        """Second minus first; None where one of them has no such number."""
        first, second = self.values
        return None if first is None or second is None else second - first

    @property
    def differs(self) -> bool:
        """Whether they differ in a digit that is shown."""
        return self.more is None or abs(self.more) >= 0.5 * 10**-self.places


@dataclass(frozen=True)
class Group:
    """Lines under one heading."""

    heading: str
    lines: tuple[Line, ...]


def compared(first: Side, second: Side) -> tuple[Group, ...]:
    """Every number worth a second look, in groups."""
    return (
        Group(_("Fret angles"), tuple(_angles(first.derived, second.derived))),
        Group(_("Board"), tuple(_board(first.derived, second.derived))),
        *(Group(heading, lines) for heading, lines in _by_string(first.derived, second.derived)),
        Group(_("The whole"), tuple(_whole(first, second))),
    )


def documents(first: Side, second: Side) -> tuple[Difference, ...]:
    """What differs between the documents: ``old`` is the first's, ``new`` the second's."""
    return differences(complete(first.derived.spec), complete(second.derived.spec))


def _angles(first: Derived, second: Derived) -> Iterator[Line]:
    yield Line(_("Nut"), "°", 2, (first.nut_angle_deg, second.nut_angle_deg))
    yield Line(_("Last fret"), "°", 2, (first.frets[-1].angle_deg, second.frets[-1].angle_deg))
    yield Line(_("Bridge"), "°", 2, (first.bridge_angle_deg, second.bridge_angle_deg))


def _board(first: Derived, second: Derived) -> Iterator[Line]:
    one, other = first.board, second.board
    yield Line(_("Board length on the centre line"), "length", 2, (one.length_mm, other.length_mm))
    yield Line(_("Board width at the nut"), "length", 2, (one.width_nut_mm, other.width_nut_mm))
    yield Line(_("Board width at the last fret"), "length", 2, (one.width_end_mm, other.width_end_mm))
    yield Line(_("Worst error of a straight fret"), "¢", 2, (one.worst_error.cents, other.worst_error.cents))


def _by_string(first: Derived, second: Derived) -> Iterator[tuple[str, tuple[Line, ...]]]:
    numbers = range(1, max(len(first.strings), len(second.strings)) + 1)
    one, other = ({string.number: string for string in made.strings} for made in (first, second))

    def lines(unit: str, places: int, of: Callable[[String], float]) -> tuple[Line, ...]:
        return tuple(
            Line(_named(one.get(n), other.get(n)), unit, places, (_of(one.get(n), of), _of(other.get(n), of)))
            for n in numbers
        )

    yield _("Scale"), lines("length", 2, lambda string: string.scale_mm)
    yield _("Tension"), lines("N", 1, lambda string: string.tension_n)
    yield _("Stiffness B, 10⁻⁶"), lines("", 0, lambda string: string.inharmonicity * 1e6)
    yield _("Setback"), lines("length", 2, lambda string: string.setback_mm)


def _of(string: String | None, of: Callable[[String], float]) -> float | None:
    return None if string is None else of(string)


def _named(one: String | None, other: String | None) -> str:
    pitches = dict.fromkeys(string.pitch for string in (one, other) if string)
    return f"{(one or other).number} {' / '.join(pitches)}"


def _whole(first: Side, second: Side) -> Iterator[Line]:
    one, other = first.derived.tension, second.derived.tension
    yield Line(_("Tension, whole set"), "N", 1, (one.total_n, other.total_n))
    yield Line(_("Evenness"), "%", 1, (one.evenness_pct, other.evenness_pct))
    yield Line(_("Weight, forecast"), "kg", 2, tuple(_weight(side.checked) for side in (first, second)))
    yield Line(_("Touch time"), "h", 1, tuple(_touch(side.checked) for side in (first, second)))


def _weight(checked: Checked) -> float | None:
    return checked.weight.usual_kg if checked.weight else None


def _touch(checked: Checked) -> float | None:
    return checked.touch_h.usual if checked.touch_h else None


def differing(groups: Sequence[Group]) -> int:
    """How many numbers differ."""
    return sum(line.differs for group in groups for line in group.lines)
