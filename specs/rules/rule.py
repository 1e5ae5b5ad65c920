"""What one compatibility rule is: its name, how grave it is, where it points, why, and the function that decides."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from specs.derived import Finding
from specs.rules.ordered import Ordered

ERROR, WARNING, NOTE = SEVERITIES = ("error", "warning", "note")
PRACTICE = "common practice"
COMPUTED = "computed; threshold common practice"
TOLERANCE = 0.01
"""Millimetres or degrees a limit must be passed by before its rule fires."""

Figure = float | str


@dataclass(frozen=True)
class At:
    """An answer that points at a field of its own, where a rule may fire at one of several."""

    field: str
    figure: Figure


Answer = Figure | At | bool | None


@dataclass(frozen=True)
class Rule:
    """One rule; ``why`` gives the reason and the remedy and may name its ``{figure}``; ``operations`` print a note."""

    slug: str
    severity: str
    field: str
    why: str
    source: str
    unit: str
    operations: tuple[str, ...]
    decide: Callable[[Ordered], Answer]

    def finding(self, order: Ordered) -> Finding | None:
        """The finding where the rule fires, None where it is silent."""
        answer = self.decide(order)
        if answer is None or answer is False:
            return None
        place = answer if isinstance(answer, At) else At(self.field, answer)
        figure = None if place.figure is True else place.figure
        message = self.why.format(figure=shown(figure, self.unit))
        return Finding(self.slug, self.severity, place.field, message, figure, self.source, self.operations)


def rule(
    slug: str, severity: str, field: str, why: str, *,
    source: str = PRACTICE, unit: str = "", operations: tuple[str, ...] = (),
) -> Callable[[Callable[[Ordered], Answer]], Rule]:  # fmt: skip
    """Declare the function below as a rule.

    The function returns None or False where the rule is silent, else the figure that made it fire (or True).
    """
    return lambda decide: Rule(slug, severity, field, why, source, unit, operations, decide)


def shown(figure: Figure | None, unit: str) -> str:
    """The figure as a message says it: at most two decimals, its unit behind it."""
    if figure is None or isinstance(figure, str):
        return figure or ""
    number = f"{figure:.2f}".rstrip("0").rstrip(".")
    return number + (unit if unit == "°" else f" {unit}" if unit else "")


def over(figure: float, limit: float) -> bool:
    """True where the figure lies beyond an upper limit by more than 0.01 mm or 0.01°."""
    return bool(figure > limit + TOLERANCE)


def under(figure: float, limit: float) -> bool:
    """True where the figure lies beyond a lower limit by more than 0.01 mm or 0.01°."""
    return bool(figure < limit - TOLERANCE)
