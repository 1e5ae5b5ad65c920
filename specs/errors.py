"""What can be wrong with a value somebody gave us, and how it is told."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One thing wrong: a dotted field path (list positions from 0), a short code, a message that says the remedy."""

    field: str
    code: str
    message: str

    def __str__(self) -> str:
        return f"{self.field}: {self.message}"


class Refused(Exception):
    """Input that cannot be used; carries every problem found, in document order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(map(str, self.problems)))

    @classmethod
    def one(cls, field: str, code: str, message: str) -> Refused:
        """A refusal with a single problem."""
        return cls([Problem(field, code, message)])


class WrongState(Exception):
    """The thing is no longer in the state the wish was made for; the message says what it is now."""
