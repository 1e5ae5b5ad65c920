"""How long work is expected to take a person at work: the mean of low, usual and high, with rework and everything
between tasks."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

TICKS_AN_HOUR = 4

REWORK = 1.08
"""Work done once more, as a factor on touch hours. **Source**: common practice; under 8 % is what a shop aims at."""

USEFUL = 0.8
"""Share of attendance that is touch time; the rest is sweeping, talking, looking for things. **Source**: common
practice, 28 to 32 useful hours of a 40-hour week; the upper end, for rounding up to quarter-hours takes the rest."""


def mean_h(low: ArrayLike, usual: ArrayLike, high: ArrayLike) -> NDArray[np.float64]:
    """Mean touch hours of a task.

    **Source**: Malcolm, Roseboom, Clark and Fazar, *Application of a technique for research and development program
    evaluation*, Operations Research 7 (1959): (low + 4 usual + high) / 6.
    """
    return (np.asarray(low, float) + 4 * np.asarray(usual, float) + np.asarray(high, float)) / 6


def attended_h(touch_h: ArrayLike) -> NDArray[np.float64]:
    """Hours a person must be at work to get so many touch hours done, rework included."""
    return np.asarray(touch_h, float) * REWORK / USEFUL


def ticks_of(hours: ArrayLike) -> NDArray[np.int32]:
    """Quarter-hours, rounded up; nothing stays nothing."""
    return np.ceil(np.asarray(hours, float) * TICKS_AN_HOUR - 1e-9).astype(np.int32)
