"""The page of an order's numbers: who reads it, what it costs, its units, its drawings' hand, the room's answer."""

from __future__ import annotations

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.orders.numbers_views import RoomForm, room
from shop.people.models import Units
from specs.wood.moisture import release_window_pct

MOST_QUERIES = 10


def page(client, order, **asked):
    return client.get(reverse("orders:numbers", args=[order.number]), asked)


@pytest.mark.parametrize("role", ["sales", "bench", "manager"])
def test_the_staff_reads_every_group(role, draft, client_of, request):
    client = client_of(request.getfixturevalue(role))
    with CaptureQueriesContext(connection) as caught:
        response = page(client, draft)
    text = response.content.decode()
    assert (response.status_code, len(caught) <= MOST_QUERIES) == (200, True)
    for group in ("neck", "headstock", "body", "mass", "pickups", "movement", "bending"):
        assert f'id="numbers-{group}"' in text
    for said in ("Part by part", "How each figure was found", "hangs level", "no rod, bars, frets"):
        assert said in text


def test_the_order_leads_to_it(draft, client_of, bench):
    text = client_of(bench).get(reverse("orders:page", args=[draft.number])).content.decode()
    assert reverse("orders:numbers", args=[draft.number]) in text


def test_lengths_follow_the_readers_units(draft, client_of, bench):
    in_mm = page(client_of(bench), draft).content.decode()
    bench.units = Units.INCH
    bench.save()
    in_inches = page(client_of(bench), draft).content.decode()
    assert ("at least 2.50 mm" in in_mm, "at least 0.098 in" in in_inches) == (True, True)


def test_a_left_handed_instrument_is_drawn_mirrored_and_says_so(draft, client_of, bench):
    def post_five() -> float:
        text = page(client_of(bench), draft).content.decode()
        assert ("LEFT-HANDED" in text) == (draft.spec.entered["hand"] == "left")
        ring = next(tag for tag in re.findall(r"<circle[^>]*>", text) if 'data-post="5"' in tag)
        return -float(re.search(r'cy="([^"]*)"', ring)[1])

    right = post_five()
    draft.spec.entered["hand"] = "left"
    draft.spec.save()
    assert post_five() == pytest.approx(-right)
    assert right < 0


def test_a_headless_neck_says_why_it_has_no_posts(draft, client_of, bench):
    draft.spec.entered["neck"] = draft.spec.entered.get("neck", {}) | {"headstock": "headless"}
    draft.spec.save()
    response = page(client_of(bench), draft)
    assert (response.status_code, "it has no posts" in response.content.decode()) == (200, True)


def test_a_draft_that_is_no_instrument_says_why(draft, client_of, bench):
    draft.spec.entered["scale"]["bass"] = "36"
    draft.spec.save()
    response = page(client_of(bench), draft)
    assert (response.status_code, "add a unit" in response.content.decode()) == (409, True)


def test_the_live_answer_tells_the_few_figures_that_decide(draft, client_of, sales):
    text = client_of(sales).get(reverse("orders:form", args=[draft.number])).content.decode()
    brief = text[text.index('id="numbers-in-brief"') :].split("</dl>")[0]
    for said in ("Balance point", "On the strap", "Greatest sideways turn", "Least wood under a slot"):
        assert said in brief


def answer(**asked):
    return room(RoomForm({"celsius": "21", "rh_pct": "45"} | asked))


def test_the_room_by_the_handbook():
    """USDA FPL, Wood Handbook, Table 4-2, 70 °F and 45 %: 8.5 %; the window common practice, no source."""
    assert answer().emc_pct == pytest.approx(8.5, abs=0.06)
    assert answer().window_pct == pytest.approx((answer().emc_pct - 1, 8.5))
    assert answer(rh_pct="60").window_pct is None


@pytest.mark.parametrize(("emc", "window"), [(7.5, (6.5, 8.5)), (6.0, (6.5, 7.0)), (9.4, (8.4, 8.5)), (5.0, None)])
def test_the_window_is_what_both_limits_leave(emc, window):
    assert release_window_pct(emc) == (window and pytest.approx(window))


def test_readings_free_a_plank_or_say_why_not(draft, client_of, bench):
    rested = page(client_of(bench), draft, readings="2026-04-07 8.2, 2026-04-14 8.1").content.decode()
    assert "the plank may be cut" in rested
    moving = page(client_of(bench), draft, readings="2026-04-07 9.9, 2026-04-14 8.1").content.decode()
    assert ("still moving" in moving, "Tue 21 Apr 2026" in moving) == (True, True)
    apart = page(client_of(bench), draft, readings="2026-04-07 8.2, 2026-04-14 8.1", partners="6.4")
    assert "a glue partner reads 6.4 %" in apart.content.decode()


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"celsius": "nan"}, "Enter a number."),
        ({"rh_pct": "101"}, "less than or equal to 100"),
        ({"readings": "yesterday 7"}, "a day and a percentage"),
        ({"readings": "2026-04-14"}, "a day and a percentage"),
        ({"readings": "2026-04-14 nan"}, "between 0 and 60"),
        ({"readings": "2026-04-14 7 " * 21}, "at most 20 readings"),
        ({"partners": "-1"}, "greater than or equal to 0"),
    ],
)
def test_what_cannot_be_asked_is_told_at_its_field(asked, said, draft, client_of, bench):
    response = page(client_of(bench), draft, **asked)
    assert (response.status_code, said in response.content.decode()) == (400, True)
