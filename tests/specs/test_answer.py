"""The public answer: its fixed keys and that a finding is told with it."""

import json
import re

from specs.answer import answer
from specs.derived import Finding
from tests.specs.documents import derived

KEYS = {
    "strings": [
        "number", "pitch", "frequency_hz", "scale_mm", "nut", "bridge", "gauge_mm", "unit_mass_kg_m", "tension_n",
        "inharmonicity", "setback_mm", "saddle_window_mm", "residual_cents",
    ],
    "frets": [
        "fret", "angle_deg", "bass_edge", "treble_edge", "slot_mm", "wire_mm", "centre_mm", "blank_x", "from_nut_mm",
        "error_cents",
    ],
    "pickups": ["name", "angle_deg", "centre_mm", "fractions", "error_fraction", "error_mm", "needed_span_mm"],
}  # fmt: skip


NECK_PICKUP = {"name": "neck", "rows": [{"strings": [1, 2, 3, 4, 5]}], "fraction": 0.155, "angle": "best"}


def test_fixed_keys():
    public = answer(derived({"pickups": [NECK_PICKUP]}), ())
    assert list(public) == ["strings", "frets", "board", "tension", "pickups", "findings"]
    for name, keys in KEYS.items():
        assert {tuple(item) for item in public[name]} == {tuple(keys)}
    assert list(public["board"]) == ["length_mm", "width_nut_mm", "width_end_mm", "wire_total_mm", "worst_error"]
    assert list(public["board"]["worst_error"]) == ["cents", "fret", "string"]
    assert list(public["tension"]) == ["total_n", "mean_n", "evenness_pct"]


def test_every_fret_and_string_is_there_and_survives_json():
    public = answer(derived(), ())
    assert json.loads(json.dumps(public, allow_nan=False)) == public
    assert [string["number"] for string in public["strings"]] == [5, 4, 3, 2, 1]
    assert [fret["fret"] for fret in public["frets"]] == list(range(25))
    assert all(len(fret["from_nut_mm"]) == len(fret["error_cents"]) == 5 for fret in public["frets"])


def test_no_minus_zero_in_the_answer():
    square = answer(derived({"hand": "left", "scale.perpendicular_fret": 0, "scale.bass": "33 in"}), ())
    assert re.search(r"-0\.0[,\]}]", json.dumps(square)) is None


def test_a_finding_is_told_without_its_source():
    finding = Finding("slug", "warning", "scale.bass", "why", 37.5, "common practice", ("Fret slotting",))
    assert answer(derived(), [finding])["findings"] == [
        {"rule": "slug", "severity": "warning", "field": "scale.bass", "message": "why", "figure": 37.5}
    ]
