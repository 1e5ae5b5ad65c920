"""Reading values out of JSON: what is wrong with each is remembered under its path, and told all at once."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from routing.plan.problem import PlanRefused
from specs.errors import Problem as Reason

LARGEST = 2**30

Path = tuple[str | int, ...]


class Reading:
    """A document being read, with what was found wrong so far; a wrong value reads as nothing or 0."""

    def __init__(self) -> None:
        self.reasons: list[Reason] = []

    def refuse(self, path: Path, code: str, message: str) -> None:
        """Remember what is wrong there."""
        self.reasons.append(Reason(".".join(map(str, path)), code, message))

    def require_sense(self) -> None:
        """Raises PlanRefused where anything was wrong."""
        if self.reasons:
            raise PlanRefused(self.reasons)

    def whole(self, path: Path, given: Any, least: int = -LARGEST, most: int = LARGEST) -> int:
        """A whole number within those bounds."""
        if isinstance(given, bool) or not isinstance(given, int):
            self.refuse(path, "not-whole", "must be a whole number")
        elif not least <= given <= most:
            self.refuse(path, "out-of-range", f"must be from {least} to {most}")
        else:
            return given
        return 0

    def real(self, path: Path, given: Any) -> float:
        """A number from 0 on."""
        if isinstance(given, bool) or not isinstance(given, int | float) or not 0 <= given <= LARGEST:
            self.refuse(path, "out-of-range", f"must be a number from 0 to {LARGEST}")
            return 0.0
        return float(given)

    def truth(self, path: Path, given: Any) -> bool:
        """True or false."""
        if not isinstance(given, bool):
            self.refuse(path, "not-a-truth-value", "must be true or false")
        return given is True

    def clock(self, path: Path, given: Any) -> int:
        """A time of day like 08:00 in minutes; -1 where it is none."""
        hours, _, minutes = given.partition(":") if isinstance(given, str) else ("", "", "")
        if len(hours) == len(minutes) == 2 and (hours + minutes).isdecimal() and int(minutes) < 60 and int(hours) <= 24:
            return int(hours) * 60 + int(minutes)
        self.refuse(path, "not-a-time", "must be a time of day like 08:00")
        return -1

    def each(self, path: Path, given: Any) -> Iterator[tuple[Path, Any]]:
        """The members of a list, with their paths."""
        if not isinstance(given, list):
            self.refuse(path, "not-a-list", "must be a list")
            return
        for i, member in enumerate(given):
            yield (*path, i), member

    def objects(self, path: Path, given: Any) -> Iterator[tuple[Path, dict[str, Any]]]:
        """The members of a list of objects."""
        for at, member in self.each(path, given):
            if not isinstance(member, dict):
                self.refuse(at, "not-an-object", "must be an object")
            yield at, member if isinstance(member, dict) else {}

    def groups(self, path: Path, given: Any, length: int) -> Iterator[tuple[Path, list[Any]]]:
        """The members of a list of lists of that length; others are refused and left out."""
        for at, member in self.each(path, given):
            if isinstance(member, list) and len(member) == length:
                yield at, member
            else:
                self.refuse(at, "not-a-list", f"must be a list of {length} values")
