"""Values as people read them."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace

import pytest
from django.template import Context, engines

from shop.people.models import Units


def shown(template: str, units: str = Units.MM, **context: object) -> str:
    request = SimpleNamespace(user=SimpleNamespace(units=units))
    return engines["django"].from_string(template).template.render(Context({"request": request, **context}))


@pytest.mark.parametrize(
    ("units", "wanted"), [(Units.MM, "876.30 mm"), (Units.INCH, "34.500 in"), (Units.INCH64, "34 1/2 in")]
)
def test_length_is_in_the_readers_units(units, wanted):
    assert shown("{% length 876.3 %}", units) == wanted


def test_wood_is_shown_to_a_tenth():
    assert shown("{% length 44 1 %}") == "44.0 mm"


def test_figure_leaves_the_unit_to_the_column_head():
    assert shown("{% figure 876.3 %} {% unit %}", Units.INCH64) == "34 1/2 in"


def test_nothing_is_a_dash():
    assert shown("{% length mm %} {{ mm|fixed }}", mm=None) == "– –"


def test_a_stranger_reads_millimetres():
    assert engines["django"].from_string("{% length 10 %}").render({}) == "10.00 mm"


def test_day_is_misread_nowhere():
    assert shown("{{ day|day }}", day=date(2026, 4, 14)) == "Tue 14 Apr 2026"


def test_django_keeps_its_own_length_filter():
    assert shown("{{ rows|length }}", rows=[1, 2]) == "2"
