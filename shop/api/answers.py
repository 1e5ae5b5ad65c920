"""The schema of the public answer, for the API's description; the answer itself is written by ``specs.answer``."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

Float, Whole, Text = serializers.FloatField, serializers.IntegerField, serializers.CharField


class Point(serializers.ListField):
    """[x, y] in mm: x from the nut along the centre line, y across."""

    child = Float()

    def __init__(self, **more: Any) -> None:
        super().__init__(min_length=2, max_length=2, **more)


class PerString(serializers.ListField):
    """One number a string, bass to treble."""

    child = Float()


class Window(Point):
    """[from, to] in mm behind the scale point."""


class StringAnswer(serializers.Serializer):
    number = Whole(help_text="1 is the highest string")
    pitch = Text()
    frequency_hz = Float()
    scale_mm = Float()
    nut = Point()
    bridge = Point()
    gauge_mm = Float()
    unit_mass_kg_m = Float()
    tension_n = Float()
    inharmonicity = Float(help_text="B of the stiff string, open")
    setback_mm = Float(help_text="extra length behind the scale point that makes fret 12 true")
    saddle_window_mm = Window()
    residual_cents = serializers.ListField(child=Float(), help_text="one a fret, the open string first")


class FretAnswer(serializers.Serializer):
    fret = Whole(help_text="0 is the nut")
    angle_deg = Float()
    bass_edge = Point()
    treble_edge = Point()
    slot_mm = Float()
    wire_mm = Float()
    centre_mm = Float()
    blank_x = Point(help_text="x of the slot at the bass and the treble side of the blank")
    from_nut_mm = PerString()
    error_cents = PerString()


class WorstError(serializers.Serializer):
    cents = Float()
    fret = Whole()
    string = Whole()


class BoardAnswer(serializers.Serializer):
    length_mm = Float()
    width_nut_mm = Float()
    width_end_mm = Float()
    wire_total_mm = Float()
    worst_error = WorstError()


class TensionAnswer(serializers.Serializer):
    total_n = Float()
    mean_n = Float()
    evenness_pct = Float()


class PickupAnswer(serializers.Serializer):
    name = Text()
    angle_deg = Float()
    centre_mm = Float(help_text="from the bridge line toward the nut, on the centre line")
    fractions = PerString()
    error_fraction = Float()
    error_mm = Float()
    needed_span_mm = Float()


class FindingAnswer(serializers.Serializer):
    rule = Text()
    severity = Text(help_text="error, warning or note")
    field = Text()
    message = Text()
    figure = serializers.JSONField(allow_null=True, help_text="a number, a text, or null")


class Answer(serializers.Serializer):
    """The computed instrument; numbers are unrounded."""

    strings = StringAnswer(many=True)
    frets = FretAnswer(many=True)
    board = BoardAnswer()
    tension = TensionAnswer()
    pickups = PickupAnswer(many=True)
    findings = FindingAnswer(many=True)
