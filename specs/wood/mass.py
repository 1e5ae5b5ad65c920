"""What the finished instrument will weigh, forecast from its drawing, woods and parts before any tool starts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from specs.derived import Derived
from specs.errors import Refused
from specs.wood.parts import Hang, hang

SOURCE = "volumes of the drawing by wood density (species averages are off by 15 %); bought parts common practice"
UNDER, LIKELY_UNDER = "under it even at its heaviest", "under it as usual, over it at its heaviest"
OVER, LIKELY_OVER = "over it even at its lightest", "over it as usual, under it at its lightest"
ON_THE_BODY = ("body,", "top,", "core,")


@dataclass(frozen=True)
class Forecast:
    """Kilograms of the finished instrument, without its case, and the bare body's share of the usual figure."""

    low_kg: float
    usual_kg: float
    high_kg: float
    body_kg: float
    source: str = SOURCE
    weighed: tuple[str, ...] = ()
    """Parts whose plank was weighed by hand, which leaves them no spread."""

    def against(self, ceiling_kg: float) -> str:
        """Whether a ceiling holds, in words, with what the parts' masses leave open."""
        if self.usual_kg <= ceiling_kg:
            return UNDER if self.high_kg <= ceiling_kg else LIKELY_UNDER
        return OVER if self.low_kg > ceiling_kg else LIKELY_OVER


def forecast(derived: Derived, measured_kg_m3: Mapping[str, float] | None = None) -> Forecast | None:
    """Low, usual and high mass of the finished instrument in kg; None where its body or headstock cannot be drawn.

    ``measured_kg_m3`` as ``specs.wood.parts.hang`` takes it.
    """
    try:
        return forecast_of(hang(derived, measured_kg_m3))
    except Refused:
        return None


def forecast_of(hanging: Hang) -> Forecast:
    """The forecast of an instrument already taken apart."""
    low_kg, high_kg = hanging.mass_kg
    body_kg = sum(part.usual_kg for part in hanging.parts if part.name.startswith(ON_THE_BODY))
    return Forecast(low_kg, hanging.usual.mass_kg, high_kg, body_kg, weighed=hanging.weighed)
