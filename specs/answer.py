"""The public answer: the computed instrument as one JSON object with fixed keys, numbers unrounded."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from specs.derived import Board, Derived, Finding, Fret, PickupPlace, String


def answer(derived: Derived, findings: Iterable[Finding]) -> dict[str, Any]:
    """The answer of the public format, version 1: mm, degrees, hertz, newtons, kg/m, cents; points as [x, y]."""
    return {
        "strings": [_string(string) for string in derived.strings],
        "frets": [_fret(fret) for fret in derived.frets],
        "board": _board(derived.board),
        "tension": {
            "total_n": derived.tension.total_n,
            "mean_n": derived.tension.mean_n,
            "evenness_pct": derived.tension.evenness_pct,
        },
        "pickups": [_pickup(pickup) for pickup in derived.pickups],
        "findings": [_finding(finding) for finding in findings],
    }


def _string(string: String) -> dict[str, Any]:
    return {
        "number": string.number,
        "pitch": string.pitch,
        "frequency_hz": string.frequency_hz,
        "scale_mm": string.scale_mm,
        "nut": list(string.nut),
        "bridge": list(string.bridge),
        "gauge_mm": string.gauge_mm,
        "unit_mass_kg_m": string.unit_mass_kg_m,
        "tension_n": string.tension_n,
        "inharmonicity": string.inharmonicity,
        "setback_mm": string.setback_mm,
        "saddle_window_mm": list(string.saddle_window_mm),
        "residual_cents": list(string.residual_cents),
    }


def _fret(fret: Fret) -> dict[str, Any]:
    return {
        "fret": fret.fret,
        "angle_deg": fret.angle_deg,
        "bass_edge": list(fret.bass_edge),
        "treble_edge": list(fret.treble_edge),
        "slot_mm": fret.slot_mm,
        "wire_mm": fret.wire_mm,
        "centre_mm": fret.centre_mm,
        "blank_x": list(fret.blank_x),
        "from_nut_mm": list(fret.from_nut_mm),
        "error_cents": list(fret.error_cents),
    }


def _board(board: Board) -> dict[str, Any]:
    worst = board.worst_error
    return {
        "length_mm": board.length_mm,
        "width_nut_mm": board.width_nut_mm,
        "width_end_mm": board.width_end_mm,
        "wire_total_mm": board.wire_total_mm,
        "worst_error": {"cents": worst.cents, "fret": worst.fret, "string": worst.string},
    }


def _pickup(pickup: PickupPlace) -> dict[str, Any]:
    return {
        "name": pickup.name,
        "angle_deg": pickup.angle_deg,
        "centre_mm": pickup.centre_mm,
        "fractions": list(pickup.fractions),
        "error_fraction": pickup.error_fraction,
        "error_mm": pickup.error_mm,
        "needed_span_mm": pickup.needed_span_mm,
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "field": finding.field,
        "message": finding.message,
        "figure": finding.figure,
    }
