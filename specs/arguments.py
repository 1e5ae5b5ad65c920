"""How the arguments of a figure are read: every problem at its dotted path."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from specs.errors import Problem, Refused
from specs.fields import ListOf
from specs.reading import Wrong, read_value, shown


def read_nested(kinds: Mapping[str, Any], given: Any, optional: Iterable[str] = ()) -> dict[str, Any]:
    """The arguments, each of its declared kind: a value, a list of one kind, or an object of named kinds.

    An optional key may be left out and then is absent. Raises Refused with every problem at once.
    """
    reading = _Reading()
    read = reading.object(kinds, given, "", frozenset(optional))
    if reading.problems:
        raise Refused(reading.problems)
    return read


class _Reading:
    """One walk over given arguments, noting every problem."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def object(
        self, kinds: Mapping[str, Any], given: Any, path: str, optional: frozenset[str] = frozenset()
    ) -> dict[str, Any]:  # fmt: skip
        """The values of one object by key; None stands where a value was refused."""
        if not isinstance(given, Mapping):
            self._refuse(path or "document", "not-an-object", f"give an object with {', '.join(kinds)}")
            return {}
        for key in given:
            if key not in kinds:
                self._refuse(_under(path, key), "unknown-key", f"unknown key; give {', '.join(kinds)}")
        wanted = {key: kind for key, kind in kinds.items() if key in given or key not in optional}
        return {key: self._value(kind, given.get(key), _under(path, key)) for key, kind in wanted.items()}

    def _value(self, kind: Any, given: Any, path: str) -> Any:
        if isinstance(kind, Mapping):
            return self.object(kind, given, path)
        if isinstance(kind, ListOf):
            return self._list(kind, given, path)
        try:
            return read_value(kind, given)
        except Wrong as wrong:
            return self._refuse(path, wrong.code, str(wrong))

    def _list(self, kind: ListOf, given: Any, path: str) -> Any:
        if not isinstance(given, list | tuple):
            return self._refuse(path, "not-a-list", f"give a list [...], not {shown(given)}")
        if not kind.shortest <= len(given) <= kind.longest:
            many = f"{kind.shortest} to {kind.longest}" if kind.shortest < kind.longest else str(kind.shortest)
            return self._refuse(path, "count", f"{len(given)} entries: give {many}")
        return [self._value(kind.of, item, _under(path, str(place))) for place, item in enumerate(given)]

    def _refuse(self, path: str, code: str, message: str) -> None:
        self.problems.append(Problem(path, code, message))


def _under(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key
