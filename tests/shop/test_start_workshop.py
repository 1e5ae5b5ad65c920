"""An empty database becomes a workshop that can take its first order; a second run changes nothing."""

from __future__ import annotations

import io

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from routing.catalogue import STATIONS
from routing.models import Station
from shop.orders.queries import check_order
from shop.orders.services import start_order
from shop.people.models import Person
from specs.models import Pattern

pytestmark = pytest.mark.django_db


@pytest.fixture
def typed(monkeypatch):
    """What stands on standard input."""

    def type_in(text: str) -> None:
        monkeypatch.setattr("sys.stdin", io.StringIO(text))

    return type_in


def started(*arguments: str) -> str:
    out = io.StringIO()
    call_command("start-workshop", *arguments, stdout=out)
    return out.getvalue()


def test_an_empty_database_becomes_a_workshop(typed, client_of):
    typed("slack water 9\n")
    assert "9 patterns (9 new)" in started("--manager", "knot", "--password-stdin")
    assert {(row.strings, row.line) for row in Pattern.objects.all()} == {
        (count, line) for count in (4, 5, 6) for line in ("custom", "series")
    }
    assert Station.objects.count() == len(STATIONS)
    assert client_of().login(username="knot", password="slack water 9")


def test_a_second_run_changes_nothing(typed, manager):
    started()
    Pattern.objects.update(about="ours")
    assert "(0 new)" in started()
    assert set(Pattern.objects.values_list("about", flat=True)) == {"ours"}
    assert Person.objects.count() == 1


def test_every_pattern_starts_an_order_that_can_be_built(manager):
    started()
    stops = {
        pattern.name: check_order(start_order(pattern=pattern, person=manager, now=timezone.now()), now=timezone.now())
        for pattern in Pattern.objects.all()
    }
    assert [name for name, checked in stops.items() if checked.stops] == []


def test_without_a_manager_and_nobody_to_ask_it_says_what_to_do(typed):
    typed("")
    with pytest.raises(CommandError, match="--manager NAME --password-stdin"):
        started()


def test_a_password_easily_guessed_is_refused(typed):
    typed("password\n")
    with pytest.raises(CommandError, match="common"):
        started("--manager", "knot", "--password-stdin")
    assert not Person.objects.exists()
