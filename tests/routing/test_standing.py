"""What stands where against its limit: places as the trade counts them (common practice, no source)."""

from __future__ import annotations

from datetime import timedelta

import pytest

from routing.limits import PLACES, read_places
from routing.standing import floor_now, set_limit
from specs.errors import Refused
from tests.routing.made import NOW, build

pytestmark = pytest.mark.django_db
RELEASED = NOW - timedelta(days=3)
CURED = (("Cure, nitrocellulose", "cure-rack", (), 504), ("Level sanding", "buff-room", ("Cure, nitrocellulose",), 0))


def standing(slug: str):
    return next(one for one in floor_now(NOW) if one.place.slug == slug)


def test_an_operation_the_catalogue_does_not_know_is_refused():
    row = {
        "slug": "x",
        "name": "X",
        "limit": 1,
        "sign": "",
        "counts": "instruments",
        "source": "",
        "operations": ["no"],
    }
    with pytest.raises(KeyError):
        read_places([row])


def test_no_operation_stands_at_two_places_and_every_place_names_its_source():
    named = [name for place in PLACES for name in place.operations]
    assert len(named) == len(set(named))
    assert all(place.source for place in PLACES)


def test_an_instrument_stands_once_at_each_place_it_has_work_at(manager):
    build(
        manager, ("Fretting", "fret-bench", (), 0), ("Side position markers", "neck-bench", (), 0),
        ("Body edge, arm and belly shaping", "body-bench", (), 0), released_at=RELEASED,
    )  # fmt: skip
    counts = {one.place.slug: one.count for one in floor_now(NOW) if one.count}
    assert counts == {"neck-stream": 1, "body-stream": 1}


def test_what_is_not_released_stands_nowhere(manager):
    build(manager, ("Fretting", "fret-bench", (), 0))
    assert sum(one.count for one in floor_now(NOW)) == 0


def test_a_coat_hangs_on_the_rack_until_its_cure_is_out(manager):
    made = build(manager, *CURED, released_at=RELEASED)
    assert standing("cure-rack").serials == ("C26-0001",)
    made.tasks.filter(position=0).update(state="done", done_at=NOW)
    made.tasks.filter(position=1).update(state="ready", ready_at=NOW + timedelta(hours=504))
    assert standing("cure-rack").serials == ("C26-0001",)
    made.tasks.filter(position=1).update(ready_at=NOW)
    assert (standing("cure-rack").count, standing("assembly").count) == (0, 1)


def test_a_full_place_is_not_yet_over_and_the_shop_sets_its_own_limit(manager):
    for at in range(3):
        build(
            manager, ("Balance invoice and payment", "sales-desk", (), 0), serial=f"C26-000{at}", released_at=RELEASED
        )
    assert (standing("unpaid").is_full, standing("unpaid").is_over) == (True, False)
    set_limit(place="unpaid", most=5)
    set_limit(place="unpaid", most=2)
    assert (standing("unpaid").limit, standing("unpaid").is_over) == (2, True)


@pytest.mark.parametrize(
    ("place", "most", "field"), [("attic", 3, "place"), ("unpaid", 0, "most"), ("unpaid", 1000, "most")]
)
def test_a_limit_nobody_can_keep_is_refused(place, most, field):
    with pytest.raises(Refused) as refused:
        set_limit(place=place, most=most)
    assert [problem.field for problem in refused.value.problems] == [field]


def test_more_instruments_need_no_more_queries(manager, django_assert_num_queries):
    build(manager, ("Fretting", "fret-bench", (), 0), released_at=RELEASED)
    with django_assert_num_queries(2):
        floor_now(NOW)
    for at in range(20):
        build(manager, ("Fretting", "fret-bench", (), 0), serial=f"C26-01{at:02d}", released_at=RELEASED)
    with django_assert_num_queries(2):
        floor_now(NOW)
