"""The pages of orders: the live form and its buttons, the list, the order, customers; how often they query."""

from __future__ import annotations

from datetime import UTC, datetime
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.orders.entries import fields_of
from shop.orders.models import Customer, Order, OrderState
from shop.orders.queries import check_order, one_order
from shop.orders.services import start_order
from specs.derive import derive
from specs.derived import Finding
from specs.parsing import parse
from specs.rules import RULES
from specs.services import release_spec
from specs.tables import load_tables

NOW = datetime(2026, 4, 14, 9, 0, tzinfo=UTC)


@pytest.fixture
def desk(client_of, sales):
    return client_of(sales)


def sent(order, **changes) -> dict[str, str]:
    """Everything a browser sends of the form."""
    strings = str(len(order.spec.entered["strings"]["tuning"]))
    beside = {"about": "1", "customer": str(order.customer_id or ""), "carrier": "on", "press": str(uuid4())}
    shown = {"strings.count": strings, "strings.shown": strings, "version": str(order.spec.entered_version)}
    return fields_of(order.spec.entered) | beside | shown | {name.replace("__", "."): v for name, v in changes.items()}


def live(desk, order, **changes):
    return desk.post(
        reverse("orders:check", args=[order.number]), sent(order, **changes), headers={"HX-Request": "true"}
    )


def pressed(desk, order, do, **changes):
    return desk.post(reverse("orders:form", args=[order.number]), sent(order, do=do, **changes))


def test_the_answer_shows_the_instrument_and_keeps_the_draft(desk, draft):
    text = live(desk, draft, scale__bass="36 in").content.decode()
    for part in ('id="answer"', "<svg", "914.40", " rules silent", "Touch time", "draft kept"):
        assert part in text
    assert 'name="version" value="3"' in text
    assert one_order(draft.number).spec.entered["scale"]["bass"] == "36 in"


def test_the_answer_shows_saddles_pickups_nut_and_balance(desk, draft):
    text = live(desk, draft, scale__bass="36 in").content.decode()
    made = derive(parse(one_order(draft.number).spec.entered), load_tables())
    assert (made.strings[0].scale_mm, len(made.pickups)) == (pytest.approx(36 * 25.4), 2)
    for string in made.strings:
        low, high = string.saddle_window_mm
        assert f"{string.setback_mm:.2f}" in text
        assert f"{low:.2f} … {high:.2f}" in text
        assert f"{string.inharmonicity * 1e6:.0f}</td>" in text
    for place in made.pickups:
        assert f"{place.centre_mm:.2f}" in text
        assert f"{place.needed_span_mm:.1f}" in text
    for said in ("Free from board to bridge, treble side", "Nut, along its slant", "Balance point", "On the strap"):
        assert said in text


def test_a_problem_stands_beside_its_field_and_goes_again(desk, draft):
    wrong = live(desk, draft, scale__bass="36").content.decode()
    assert '<p id="problem-scale-bass" class="said" hx-swap-oob="true"><span class="problem">Add a unit' in wrong
    assert one_order(draft.number).spec.entered["scale"]["bass"] == "36"
    right = live(desk, one_order(draft.number), scale__bass="37 in", spoken="scale.bass").content.decode()
    assert '<p id="problem-scale-bass" class="said" hx-swap-oob="true"></p>' in right


def test_a_difference_is_marked_at_its_field_and_listed(desk, draft):
    text = live(desk, draft, scale__bass="36 in").content.decode()
    assert '<span class="was">before: 37 in</span>' in text
    assert "1 difference from where it started" in text


def test_an_answer_to_a_usual_change_is_small(desk, draft):
    assert len(live(desk, draft, scale__bass="36 in").content) < 60_000


def test_another_number_of_strings_sends_its_lines(desk, draft):
    text = live(desk, draft, **{"strings.count": "6"}).content.decode()
    assert 'name="strings.tuning.5" value="C3"' in text
    assert one_order(draft.number).spec.entered["strings"]["tuning"][-1] == "C3"


def test_a_stale_window_is_told_and_keeps_nothing(desk, draft):
    live(desk, draft, nut__spread="40 mm")
    text = live(desk, draft, nut__spread="41 mm").content.decode()
    assert "kept from another window" in text
    assert 'name="version" value="2"' in text
    assert one_order(draft.number).spec.entered["nut"]["spread"] == "40 mm"
    live(desk, draft, nut__spread="41 mm", over="3")
    assert one_order(draft.number).spec.entered["nut"]["spread"] == "41 mm"


def test_a_name_is_text_in_the_drawing_and_never_markup(desk, draft):
    text = live(desk, draft, pickups__0__name="<script>x</script>").content.decode()
    assert "<script" not in text


def test_without_script_check_keeps_and_shows_the_problems(desk, draft):
    response = desk.post(
        reverse("orders:form", args=[draft.number]), sent(draft, do="check", scale__bass="36"), follow=True
    )
    page = response.content.decode()
    assert response.redirect_chain == [(reverse("orders:form", args=[draft.number]), 302)]
    assert 'name="scale.bass" value="36"' in page
    assert "add a unit" in page


def test_without_script_a_stale_page_answers_409_with_what_was_typed(desk, draft):
    pressed(desk, draft, "keep", nut__spread="40 mm")
    response = pressed(desk, draft, "keep", nut__spread="41 mm")
    assert response.status_code == 409
    assert 'name="nut.spread" value="41 mm"' in response.content.decode()
    assert one_order(draft.number).spec.entered["nut"]["spread"] == "40 mm"


@pytest.mark.parametrize(
    ("do", "pickups"), [("add-pickup", 3), ("take-pickup.0", 1), ("take-pickup.9", 2), ("take-", 2)]
)
def test_pickups_come_and_go_by_buttons(desk, draft, do, pickups):
    assert pressed(desk, draft, do).status_code == 302
    assert len(one_order(draft.number).spec.entered["pickups"]) == pickups


def test_equal_centres_at_both_ends_put_straight_frets_on_pitch(desk, draft):
    assert "Use equal centres at both ends" in desk.get(reverse("orders:form", args=[draft.number])).content.decode()
    pressed(desk, draft, "equal-centres")
    assert abs(check_order(one_order(draft.number), now=NOW).derived.board.worst_error.cents) < 1e-6
    assert "On pitch everywhere" in desk.get(reverse("orders:page", args=[draft.number])).content.decode()


def test_an_order_is_placed_from_its_form(desk, draft):
    response = pressed(desk, draft, "place")
    assert response["Location"] == reverse("orders:page", args=[draft.number])
    assert one_order(draft.number).state == OrderState.PLACED


def test_an_order_with_problems_is_kept_but_not_placed(desk, draft):
    response = desk.post(
        reverse("orders:form", args=[draft.number]), sent(draft, do="place", scale__bass="36", customer=""), follow=True
    )
    assert "Not placed; the draft is kept. 2 to put right." in response.content.decode()
    kept = one_order(draft.number)
    assert (kept.state, kept.spec.entered["scale"]["bass"]) == (OrderState.DRAFT, "36")


def test_a_placed_order_is_checked_without_being_kept(desk, placed):
    text = live(desk, placed, scale__bass="36 in").content.decode()
    assert "914.40" in text
    assert one_order(placed.number).spec.entered["scale"]["bass"] == "37 in"
    refused = pressed(desk, placed, "keep", scale__bass="36")
    assert (refused.status_code, "must stay buildable" in refused.content.decode()) == (422, True)


def test_a_second_press_writes_nothing(desk, pattern):
    once = {"pattern": str(pattern.pk), "press": str(uuid4())}
    places = [desk.post(reverse("orders:new"), once)["Location"] for _ in range(2)]
    assert (places[0], Order.objects.count()) == (places[1], 1)


def test_an_order_starts_as_an_earlier_one(desk, draft):
    response = desk.post(reverse("orders:new"), {"like": draft.number, "press": str(uuid4())}, follow=True)
    assert f"as {draft.number}, but …" in response.content.decode()


def test_a_form_of_a_released_revision_leads_to_its_page(desk, building):
    checked = check_order(building, now=NOW)
    release_spec(spec=building.spec, derived=checked.derived, findings=checked.findings, now=NOW)
    assert desk.get(reverse("orders:form", args=[building.number])).status_code == 302
    assert live(desk, building).status_code == 409
    page = desk.get(reverse("orders:page", args=[building.number])).content.decode()
    assert "Revise" in page


def test_the_buttons_take_an_order_to_its_build(desk, draft):
    number = draft.number
    for name, given in (("place", {}), ("deposit", {"promise": "2026-09-01"})):
        desk.post(reverse(f"orders:{name}", args=[number]), {**given, "press": str(uuid4())})
    order = one_order(number)
    assert (order.state, order.build.promise.isoformat()) == (OrderState.BUILDING, "2026-09-01")
    late = desk.post(reverse("orders:place", args=[number]), {"press": str(uuid4())})
    assert (late.status_code, "is already" in late.content.decode()) == (409, True)


def test_a_caution_is_initialled_on_the_page(desk, draft):
    live(desk, draft, scale__perpendicular_fret="9")
    found = check_order(one_order(draft.number), now=NOW).cautions[0]
    given = {"rule": found.rule, "field": found.field, "press": str(uuid4())}
    url = reverse("orders:initial", args=[draft.number])
    assert desk.post(url, {**given, "initials": "SA", "reason": ""}).status_code == 422
    desk.post(url, {**given, "initials": "SA", "reason": "the customer knows"})
    assert draft.spec.initialled.get().reason == "the customer knows"


def test_a_bench_reads_an_order_and_has_no_buttons(client_of, bench, draft):
    page = client_of(bench).get(reverse("orders:page", args=[draft.number])).content.decode()
    assert "RIGHT-HANDED" in page
    assert "Place order" not in page
    assert client_of(bench).get(reverse("orders:form", args=[draft.number])).status_code == 403


def test_a_left_handed_order_says_so(desk, draft):
    live(desk, draft, hand="left")
    assert "LEFT-HANDED" in desk.get(reverse("orders:page", args=[draft.number])).content.decode()


def test_a_half_filled_order_has_its_page_and_form(desk, draft):
    live(desk, draft, scale__bass="", **{"strings.tuning.0": "H"})
    for name in ("orders:page", "orders:form"):
        assert desk.get(reverse(name, args=[draft.number])).status_code == 200


@pytest.mark.parametrize(
    ("asked", "found"),
    [("", 1), ("text=corin", 1), ("text=C26+saltby", 1), ("text=nobody", 0), ("state=placed", 0), ("line=series", 0),
     ("state=nonsense", 1), ("page=99", 1)],
)  # fmt: skip
def test_the_list_is_narrowed(desk, draft, asked, found):
    page = desk.get(f"{reverse('orders:list')}?{asked}").content.decode()
    assert page.count(reverse("orders:page", args=[draft.number])) == found


def test_the_list_asks_as_often_for_fifty_orders_as_for_one(desk, building, pattern, sales, django_assert_num_queries):
    with CaptureQueriesContext(
        connection,
    ) as one:
        desk.get(reverse("orders:list"))
    for _ in range(49):
        start_order(pattern=pattern, person=sales, now=NOW)
    with django_assert_num_queries(len(one)):
        page = desk.get(reverse("orders:list")).content.decode()
    assert page.count("Turnstone · A") == 50


@pytest.mark.parametrize("count", [1, 50])
def test_an_order_page_asks_a_fixed_number_of_times(desk, building, sales, count, django_assert_max_num_queries):
    building.events.all().delete()
    for at in range(count):
        building.events.create(what=f"line {at}", person=sales, at=NOW)
    with django_assert_max_num_queries(17):
        desk.get(reverse("orders:page", args=[building.number]))


def test_empty_pages_say_what_to_do_first(desk):
    for name, words in (
        ("orders:list", "No orders yet"),
        ("orders:new", "No pattern"),
        ("orders:customers", "Nobody yet"),
    ):
        assert words in desk.get(reverse(name)).content.decode()


def test_a_customer_is_made_and_changed(desk):
    given = {"name": "Ebb and Flow", "is_dealer": "on", "country": "de", "press": str(uuid4())}
    desk.post(reverse("orders:customers"), given)
    made = Customer.objects.get()
    assert (made.country, made.is_dealer) == ("DE", True)
    url = reverse("orders:customer", args=[made.pk])
    assert desk.post(url, {**given, "country": "Germany", "press": str(uuid4())}).status_code == 422
    desk.post(url, {**given, "name": "Ebb", "press": str(uuid4())})
    assert Customer.objects.get().name == "Ebb"


def test_a_customer_written_down_for_an_order_is_chosen_in_its_form(desk, draft):
    asked = f"{reverse('orders:customers')}?order={draft.number}"
    assert f'name="order" value="{draft.number}"' in desk.get(asked).content.decode()
    given = {"name": "Merle Shingleton", "country": "US", "order": draft.number, "press": str(uuid4())}
    form = desk.post(reverse("orders:customers"), given, follow=True).content.decode()
    made = Customer.objects.get(name="Merle Shingleton")
    assert f'<option value="{made.pk}" selected>Merle Shingleton</option>' in form


def test_a_released_order_shows_the_stored_answer(desk, building):
    stored = Finding("as-released", "note", "hand", "Said at the release and never again.", None, "")
    derived = check_order(building, now=NOW).derived
    release_spec(spec=building.spec, derived=derived, findings=[stored], now=NOW)
    page = desk.get(reverse("orders:page", args=[building.number])).content.decode()
    assert stored.message in page
    assert f"{len(RULES) - 1} of {len(RULES)} rules silent" in page
