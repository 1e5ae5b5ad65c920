"""Single figures a workshop asks for outside any order."""

from __future__ import annotations

CUBIC_INCHES_PER_BOARD_FOOT = 144


def board_feet(thickness_in: float, width_in: float, length_in: float) -> float:
    """Volume in board feet, unrounded, of lumber measured in inches. **Source**: common practice, T x W x L / 144."""
    return thickness_in * width_in * length_in / CUBIC_INCHES_PER_BOARD_FOOT
