"""The tunings often asked for: readable pitches, one for each string, each with its source."""

import pytest

from specs.acoustics.pitch import frequency_hz
from specs.starters import starter
from specs.tunings import usual_tunings


@pytest.mark.parametrize("strings", [4, 5, 6])
def test_tunings_rise_and_say_their_source(strings):
    for tuning in usual_tunings(strings):
        pitches = [frequency_hz(pitch) for pitch in tuning.pitches]
        assert pitches == sorted(pitches)
        assert tuning.source


@pytest.mark.parametrize("strings", [4, 5, 6])
def test_the_first_is_the_starters_own(strings):
    assert list(usual_tunings(strings)[0].pitches) == starter(strings)["strings"]["tuning"]


def test_nobody_wrote_one_down_for_seven_strings():
    assert usual_tunings(7) == ()
