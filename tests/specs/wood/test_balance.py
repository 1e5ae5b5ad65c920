"""Balance against the centre of mass by moments, and which end drops."""

from math import fsum

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specs.errors import Refused
from specs.wood.balance import Balance, Part, balance, balance_figure

bounded = settings(derandomize=True, database=None, deadline=None, max_examples=60)

BASS = [Part("neck and head", 1.2, 250.0), Part("body", 2.4, 820.0), Part("metal", 0.9, 600.0)]


def test_a_seesaw():
    """Archimedes: masses balance at distances inverse to them."""
    assert balance([Part("one", 1.0, 0.0), Part("three", 3.0, 400.0)], 250, 1000) == Balance(4.0, 300.0, "level")


parts = st.lists(st.builds(Part, st.just("part"), st.floats(0.001, 10), st.floats(-500, 1500)), min_size=1, max_size=20)


@bounded
@given(parts)
def test_moments_about_the_balance_point_cancel(given_parts):
    found = balance(given_parts, 0, 0)
    moments = [part.mass_kg * (part.x_mm - found.x_mm) for part in given_parts]
    assert fsum(moments) == pytest.approx(0, abs=1e-9)
    assert min(part.x_mm for part in given_parts) - 1e-9 <= found.x_mm <= max(part.x_mm for part in given_parts) + 1e-9


@pytest.mark.parametrize(
    ("straps", "drops"),
    [
        ((650, 1100), "neck"),
        ((400, 1100), "level"),
        ((300, 500), "body"),
        ((624, 1100), "level"),
        ((300, 624), "level"),
    ],
)
def test_which_end_drops(straps, drops):
    """Common practice, no source; on a button it hangs level."""
    assert balance(BASS, *straps) == Balance(4.5, 624.0, drops)


def arguments(**changes):
    return {"parts": [part.__dict__ for part in BASS], "straps_mm": [400, 1100], **changes}


def test_figure():
    assert balance_figure(arguments()) == {"mass_kg": 4.5, "x_mm": 624.0, "drops": "level"}


REFUSED = {
    "nothing": ({}, ["parts", "straps_mm"]),
    "no parts": (arguments(parts=[]), ["parts"]),
    "no mass": (arguments(parts=[{"name": "air", "mass_kg": 0, "x_mm": 1}]), ["parts"]),
    "a bad part": (
        arguments(parts=[{"name": "neck", "mass_kg": -1, "x_mm": "3 mm"}]), ["parts.0.mass_kg", "parts.0.x_mm"],
    ),
    "one strap": (arguments(straps_mm=[400]), ["straps_mm"]),
    "straps the wrong way round": (arguments(straps_mm=[1100, 400]), ["straps_mm"]),
    "an unknown key": (arguments(colour="red"), ["colour"]),
}  # fmt: skip


@pytest.mark.parametrize(("given", "fields"), REFUSED.values(), ids=REFUSED)
def test_bad_arguments_are_refused_at_their_fields(given, fields):
    with pytest.raises(Refused) as refused:
        balance_figure(given)
    assert [problem.field for problem in refused.value.problems] == fields


def test_weightless_parts_have_no_balance():
    with pytest.raises(ValueError, match="nothing"):
        balance([], 0, 1)
