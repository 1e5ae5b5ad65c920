"""Pitch names against a printed table, a music library and 40-digit arithmetic."""

import csv
from pathlib import Path

import pytest
from mpmath import mp, mpf
from music21.pitch import Pitch as LibraryPitch

from specs.acoustics.pitch import frequency_hz, semitones_from_a4

PRINTED = Path(__file__).parents[2] / "reference" / "note_frequencies.csv"
PRINTED_ROUNDING_HZ = 0.005 + 1e-9

with PRINTED.open(encoding="utf-8") as lines:
    PRINTED_ROWS = [(row["pitch"], float(row["frequency_hz"])) for row in csv.DictReader(lines)]


def test_a4_is_440_hz_exactly():
    """ISO 16."""
    assert frequency_hz("A4") == 440.0


@pytest.mark.parametrize(("pitch", "printed_hz"), PRINTED_ROWS)
def test_printed_table(pitch, printed_hz):
    """B. H. Suits, Frequencies of Musical Notes, to its two decimals."""
    assert frequency_hz(pitch) == pytest.approx(printed_hz, abs=PRINTED_ROUNDING_HZ)


@pytest.mark.parametrize("pitch", ["F#0", "B0", "Bb0", "Cb1", "B#1", "E1", "A1", "D2", "G2", "C3", "Eb3", "F#9"])
def test_a_music_library_agrees(pitch):
    """music21, which writes a flat as a minus."""
    assert frequency_hz(pitch) == pytest.approx(LibraryPitch(pitch.replace("b", "-")).frequency, rel=1e-12)


@pytest.mark.parametrize("pitch", ["B0", "G2", "F#1"])
@pytest.mark.parametrize("reference_hz", [440, 432, 415.3])
def test_forty_digits_at_another_reference_pitch(pitch, reference_hz):
    with mp.workdps(40):
        exact = mpf(reference_hz) * mpf(2) ** (mpf(semitones_from_a4(pitch)) / 12)
        assert abs(frequency_hz(pitch, reference_hz) / exact - 1) < 1e-15


@pytest.mark.parametrize("pitch", ["", "H1", "b0", "B", "B##1", "B-1", "B1.0", "B٣"])
def test_other_names_are_no_pitch(pitch):
    with pytest.raises(ValueError, match="not a pitch"):
        semitones_from_a4(pitch)
