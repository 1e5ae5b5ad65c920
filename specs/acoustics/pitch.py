"""What a pitch name means in hertz."""

from __future__ import annotations

import re

REFERENCE_HZ = 440.0
"""A4. **Source**: ISO 16."""

_SEMITONES_FROM_C = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_ACCIDENTALS = {"": 0, "#": 1, "b": -1}
_NAME = re.compile(r"([A-G])([#b]?)([0-9]+)", re.ASCII)


def semitones_from_a4(pitch: str) -> int:
    """Equal-tempered semitones from A4 to a pitch such as ``B0``, ``F#1`` or ``Bb0``. Raises ValueError."""
    name = _NAME.fullmatch(pitch)
    if name is None:
        raise ValueError(f"{pitch!r} is not a pitch: write a letter A-G, # or b if needed, and an octave")
    letter, accidental, octave = name.groups()
    return _SEMITONES_FROM_C[letter] + _ACCIDENTALS[accidental] - 9 + 12 * (int(octave) - 4)


def frequency_hz(pitch: str, reference_hz: float = REFERENCE_HZ) -> float:
    """Frequency of a pitch in hertz, equal temperament, A4 at the reference. **Source**: ISO 16 for A4 = 440 Hz."""
    octaves, semitones = divmod(semitones_from_a4(pitch), 12)
    return reference_hz * 2.0**octaves * 2.0 ** (semitones / 12)
