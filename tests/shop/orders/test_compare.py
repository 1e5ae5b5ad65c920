"""Two instruments side by side: numbers of both as computed, what differs marked, refusals at their fields."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.orders.checking import check_entered
from shop.orders.compare import Side, compared, differing, documents
from shop.orders.queries import check_order
from shop.orders.services import start_order
from shop.templatetags.compared import more_length
from specs.facts import OrderFacts
from specs.starters import starter, with_pair
from tests.shop.orders.conftest import NOW

MOST_QUERIES = 24

pytestmark = pytest.mark.django_db


def side(name, document):
    checked = check_entered(document, OrderFacts(), now=NOW)
    return Side(name, document, checked, checked.derived)


@pytest.fixture
def pairs():
    return side("37", starter(5)), side("36", with_pair(starter(5), "36 in", "34 in", 7))


def lines(groups):
    return {(group.heading, line.label): line for group in groups for line in group.lines}


def test_numbers_are_those_of_both_instruments(pairs):
    found = lines(compared(*pairs))
    nut = found["Fret angles", "Nut"]
    assert nut.values == tuple(made.derived.nut_angle_deg for made in pairs)
    low = found["Tension", "5 B0"]
    assert low.more == pytest.approx(pairs[1].derived.strings[0].tension_n - pairs[0].derived.strings[0].tension_n)
    assert low.values[1] / low.values[0] == pytest.approx((36 / 37) ** 2)  # tension goes with length squared (Mersenne)
    assert not found["Scale", "1 G2"].differs


def test_the_same_twice_differs_in_nothing(pairs):
    assert differing(compared(pairs[0], pairs[0])) == 0
    assert documents(pairs[0], pairs[0]) == ()


def test_documents_differ_where_they_were_changed(pairs):
    assert [(one.path, one.old, one.new) for one in documents(*pairs)] == [("scale.bass", 939.8, 914.4)]


def test_another_number_of_strings_leaves_a_gap(pairs):
    found = lines(compared(pairs[0], side("four", starter(4))))
    assert found["Tension", "5 B0"].values[1] is None
    assert found["Tension", "5 B0"].differs


@pytest.mark.parametrize(("mm", "shown"), [(1.234, "+1.23"), (-0.5, "-0.50"), (None, "–")])
def test_a_longer_length_carries_its_sign(mm, shown):
    assert more_length({}, mm) == shown


def page(client, **asked):
    return client.get(reverse("orders:compare"), asked)


def test_an_order_against_its_own_on_another_pair(draft, client_of, bench):
    text = page(client_of(bench), a=draft.number, bass="36 in").content.decode()
    for said in ("full lines", "stroke-dasharray", "914.4–863.6 mm", "Fret angles", "Touch time", "Bass scale"):
        assert said in text
    assert "36 in" in text


def test_two_orders_cost_few_queries(draft, pattern, sales, client_of, bench):
    other = start_order(pattern=pattern, person=sales, now=NOW)
    client = client_of(bench)
    with CaptureQueriesContext(
        connection,
    ) as queries:
        text = page(client, a=draft.number, b=other.number).content.decode()
    assert "The documents say the same." in text
    assert len(queries) <= MOST_QUERIES


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"a": "X26-0001", "b": "X26-0002"}, "There is no order of that number."),
        ({"b": "X26-0002"}, "There is no order of that number."),
        ({"bass": "36"}, "add a unit"),
        ({"bass": "20 in", "treble": "40 in", "fret": "99"}, "less than or equal to 36"),
        ({"b": ""}, "Give another order"),
    ],
)
def test_what_cannot_be_compared_is_told_at_its_field(asked, said, draft, client_of, bench):
    response = page(client_of(bench), **({"a": draft.number} | asked))
    assert response.status_code == 400
    assert said in response.content.decode()


def test_without_a_question_the_page_says_what_to_do(draft, client_of, bench):
    for asked in ({}, {"a": draft.number}):
        response = page(client_of(bench), **asked)
        assert (response.status_code, "Give an order and what to hold it against" in response.content.decode()) == (
            200, True,
        )  # fmt: skip


def test_a_draft_that_is_no_instrument_is_told(draft, client_of, bench):
    draft.spec.entered["scale"]["bass"] = "36"
    draft.spec.save()
    assert check_order(draft, now=NOW).derived is None
    assert "not an instrument yet" in page(client_of(bench), a=draft.number, b=draft.number).content.decode()
