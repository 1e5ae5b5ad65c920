"""Choosing strings: the best set against trying all, other tunings, the set written into a draft, weighed strings."""

from __future__ import annotations

from itertools import combinations_with_replacement
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.orders.queries import one_order
from shop.orders.string_choice import (
    best_set,
    known_strings,
    other_tuning,
    targets,
    unit_weight_lb_in,
    unit_weights,
)
from shop.orders.string_services import gauge_text
from specs.acoustics.tension import evenness_pct, tension_n
from specs.models import WeighedString
from specs.released import current
from specs.services import weigh_string
from specs.tables import UnitWeight
from specs.tunings import Tuning, usual_tunings
from tests.shop.orders.conftest import NOW

pytestmark = pytest.mark.django_db
ROUND = "nickel-plated round"
A_GAUGE_MM, A_WEIGHT = 0.1 * 25.4, 0.0018


@pytest.fixture
def weighed(sales):
    return weigh_string(gauge_mm=A_GAUGE_MM, winding=ROUND, unit_weight_lb_in=A_WEIGHT, person=sales, now=NOW)


def test_the_evenest_set_is_that_of_trying_all(draft):
    made, known = current(draft.spec), known_strings(ROUND)
    pulls = [
        {wire.gauge_in: tension_n(UnitWeight(wire.unit_weight_lb_in).kg_m, string.scale_mm, string.frequency_hz)
         for wire in known.wires} for string in made.strings[:3]
    ]  # fmt: skip
    thick_first = sorted(pulls[0], reverse=True)
    least = min(
        evenness_pct([pull[gauge] for pull, gauge in zip(pulls, gauges, strict=True)])
        for gauges in combinations_with_replacement(thick_first, 3)
    )
    three = type(made)(made.spec, made.strings[:3], made.frets, made.board, made.tension, made.pickups)
    found = best_set(three, known, tuning=made.spec.strings.tuning[:3])
    assert found.pull.evenness_pct == pytest.approx(least)


def test_a_target_is_missed_least(draft):
    made, known = current(draft.spec), known_strings(ROUND)
    present = best_set(made, known, [string.tension_n for string in made.strings])
    assert [line.gauge_in for line in present.lines] == pytest.approx([0.13, 0.105, 0.085, 0.065, 0.045])


def test_one_target_counts_for_all_and_another_number_is_refused():
    assert targets([190], 4) == [190] * 4
    with pytest.raises(ValueError, match="3"):
        targets([1, 2, 3], 4)


def test_a_weighed_string_counts_for_more_and_the_newest_for_most(draft, weighed, sales):
    weigh_string(gauge_mm=A_GAUGE_MM, winding=ROUND, unit_weight_lb_in=0.0019, person=sales, now=NOW)
    known = known_strings(ROUND)
    assert known.wire(0.1).unit_weight_lb_in == 0.0019
    assert unit_weights(known, [0.13, 0.1]) == [None, 0.0019]
    assert unit_weights(known, [0.13, 0.105]) is None
    assert WeighedString.objects.newest().count() == 1


def test_a_winding_without_any_weight_has_no_set(draft):
    assert best_set(current(draft.spec), known_strings("flat")) is None


def test_a_lower_tuning_slackens_and_wants_thicker_strings(draft):
    made, known = current(draft.spec), known_strings(ROUND)
    low = other_tuning(made, known, Tuning("low A", ("A0", "E1", "A1", "D2", "G2"), ""))
    change = low.changes[0]
    assert change.kept_n / made.strings[0].tension_n == pytest.approx(2 ** (-2 * 2 / 12))  # a whole tone down
    assert change.best.gauge_in >= 0.145
    assert (change.slot, change.thick) == (True, True)
    assert low.slots == (5,)


def test_a_piece_on_the_scales():
    """A pound is 453.59237 g, an inch 25.4 mm, both exact: one pound over ten inches is a tenth of a pound an inch."""
    assert unit_weight_lb_in(453.59237, 254) == pytest.approx(0.1)


@pytest.mark.parametrize(("gauge", "text"), [(0.13, ".130 in"), (0.0085, ".0085 in"), (0.1, ".100 in")])
def test_gauges_are_written_as_on_packets(gauge, text):
    assert gauge_text(gauge) == text


def page(client, order, **asked):
    return client.get(reverse("orders:strings", args=[order.number]), asked)


def use(client, order, gauges, winding=ROUND, version=None, token=None):
    sent = {"press": str(token or uuid4()), "winding": winding, "gauges": gauges}
    version = order.spec.entered_version if version is None else version
    return client.post(reverse("orders:strings", args=[order.number]), sent | {"version": version})


def strings(order):
    return one_order(order.number).spec.entered["strings"]


def test_the_page_shows_sets_and_other_tunings(draft, client_of, sales):
    text = page(client_of(sales), draft, target="200", tuning="B0 E1 A1 D2 F#2").content.decode()
    for said in ("Evenest", "As wanted", "Use this set", "as typed", "nut slot cut anew"):
        assert said in text
    names = [tuning.name for tuning in usual_tunings(5)][1:]
    assert all(name in text for name in names)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"target": "190 200"}, "one for each string"),
        ({"target": "much"}, "Enter a number."),
        ({"tuning": "B0 E1"}, "for each string"),
        ({"tuning": "B0 E1 A1 D2 H2"}, "Give a pitch"),
        ({"winding": "rope"}, "not one of the available choices"),
    ],
)
def test_what_cannot_be_chosen_for_is_told(asked, said, draft, client_of, sales):
    response = page(client_of(sales), draft, **asked)
    assert (response.status_code, said in response.content.decode()) == (400, True)


def test_a_winding_nobody_weighed_says_what_to_do(draft, client_of, sales):
    assert "Weigh one" in page(client_of(sales), draft, winding="flat").content.decode()


def test_a_pressed_set_stands_in_the_draft_with_the_shops_weight(draft, weighed, client_of, sales):
    client, token = client_of(sales), uuid4()
    for _ in range(2):
        assert use(client, draft, "0.13 0.1 0.08 0.065 0.045", token=token).status_code == 302
    kept = strings(draft)
    assert kept["gauges"] == [".130 in", ".100 in", ".080 in", ".065 in", ".045 in"]
    assert kept["unit_weights"] == [None, A_WEIGHT, None, None, None]
    assert one_order(draft.number).spec.entered_version == draft.spec.entered_version + 1


@pytest.mark.parametrize(
    ("gauges", "said"),
    [
        ("0.131 0.1 0.08 0.065 0.045", "There is no nickel-plated round string of .131 in"),
        ("0.13 0.1", "one gauge for every string"),
        ("", "Choose a set first"),
    ],
)
def test_a_set_there_is_none_of_is_not_kept(gauges, said, draft, client_of, sales):
    before = strings(draft)
    response = use(client_of(sales), draft, gauges)
    assert (response.status_code, said in response.content.decode()) == (422, True)
    assert strings(draft) == before


def test_a_stale_page_keeps_nothing(draft, client_of, sales):
    response = use(client_of(sales), draft, "0.13 0.1 0.08 0.065 0.045", version=1)
    assert response.status_code == 409
    assert "kept from another window" in response.content.decode()


def test_a_placed_order_stays_buildable(placed, client_of, sales):
    """Common practice: a .145 does not pass an ordinary tuner's slot."""
    before = strings(placed)
    response = use(client_of(sales), placed, "0.145 0.105 0.085 0.065 0.045")
    assert (response.status_code, "tuner" in response.content.decode()) == (422, True)
    assert strings(placed) == before


def test_cores_of_strings_that_change_are_left_open(draft, client_of, sales):
    draft.spec.entered["strings"]["cores"] = ["1.2 mm", "1 mm", "0.9 mm", "0.7 mm", "0.5 mm"]
    draft.spec.save()
    use(client_of(sales), draft, "0.13 0.1 0.085 0.065 0.045")
    assert strings(draft)["cores"] == ["1.2 mm", None, "0.9 mm", "0.7 mm", "0.5 mm"]


def test_the_bench_looks_and_does_not_press(draft, client_of, bench):
    assert "Use this set" not in page(client_of(bench), draft).content.decode()
    assert use(client_of(bench), draft, "0.13 0.1 0.08 0.065 0.045").status_code == 403


def weigh(client, **changed):
    sent = {"gauge": ".100 in", "winding": "flat", "weight_g": "16.1", "length": "500 mm", "press": str(uuid4())}
    return client.post(reverse("orders:weighed"), sent | changed)


def test_a_string_is_weighed(client_of, sales):
    client = client_of(sales)
    assert weigh(client).status_code == 302
    row = WeighedString.objects.get()
    assert (row.gauge_mm, row.winding, row.weighed_by) == (2.54, "flat", sales)
    assert row.unit_weight_lb_in == pytest.approx(unit_weight_lb_in(16.1, 500))
    assert ".100" in client.get(reverse("orders:weighed")).content.decode()


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"gauge": ".100"}, "add a unit"),
        ({"gauge": "9 mm"}, "from 0.1 to 6 mm"),
        ({"length": "20 mm"}, "from 200 to 2000 mm"),
        ({"weight_g": "0"}, "greater than or equal to 0.001"),
        ({"weight_g": "nan"}, "Enter a number."),
    ],
)
def test_what_cannot_be_weighed_is_told(changed, said, client_of, sales):
    response = weigh(client_of(sales), **changed)
    assert (response.status_code, said in response.content.decode()) == (422, True)
    assert not WeighedString.objects.exists()


def test_one_and_fifty_rows_cost_the_same_queries(client_of, sales, weighed):
    client, counts = client_of(sales), []
    for _ in range(2):
        with CaptureQueriesContext(connection) as queries:
            client.get(reverse("orders:weighed"))
        counts.append(len(queries))
        for number in range(49):
            weigh_string(
                gauge_mm=1 + number / 100, winding="flat", unit_weight_lb_in=0.001, person=sales, now=NOW
            )  # fmt: skip
    assert counts[0] == counts[1]
