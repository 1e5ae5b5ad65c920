"""The manager's pages of people: somebody is added, given stations, closed; nobody shuts themselves out."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from routing.building import stations_by_name
from shop.people.models import Person


@pytest.fixture
def fret_bench(db):
    return stations_by_name()["Fret bench"]


@pytest.fixture
def office(client_of, manager):
    return client_of(manager)


def sent(**given) -> dict[str, str]:
    usual = {"username": "knot", "first_name": "Tove", "last_name": "Ebbing", "role": "bench", "initials": "TE"}
    return usual | given | {"press": str(uuid4())}


def test_somebody_new_signs_in_and_works_at_a_station(office, client_of, fret_bench):
    hours = {f"hours_{fret_bench.pk}": "22.5"}
    assert office.post(reverse("people:people"), sent(password="slack water 9", **hours)).status_code == 302
    made = Person.objects.get(username="knot")
    assert list(made.qualifications.values_list("station", "weekly_hours")) == [(fret_bench.pk, 22.5)]
    assert client_of().login(username="knot", password="slack water 9")
    assert "Fret bench&nbsp;22.5" in office.get(reverse("people:people")).content.decode()


def test_a_person_changes_role_and_stations_and_keeps_the_password(office, client_of, bench, fret_bench):
    bench.qualifications.create(station=fret_bench, weekly_hours=8)
    url = reverse("people:person", args=[bench.pk])
    office.post(url, sent(username="dunlin", role="sales", is_active="on"))
    bench.refresh_from_db()
    assert (bench.role, bench.qualifications.count()) == ("sales", 0)
    assert client_of().login(username="dunlin", password="low tide 4")


def test_a_closed_person_signs_in_no_more(office, client_of, bench):
    office.post(reverse("people:person", args=[bench.pk]), sent(username="dunlin"))
    assert not client_of().login(username="dunlin", password="low tide 4")


@pytest.mark.parametrize("given", [{"role": "bench", "is_active": "on"}, {"role": "manager"}])
def test_nobody_shuts_themselves_out(office, manager, given):
    answer = office.post(reverse("people:person", args=[manager.pk]), sent(username="avocet", **given))
    manager.refresh_from_db()
    assert (answer.status_code, manager.role, manager.is_active) == (422, "manager", True)


@pytest.mark.parametrize(
    ("field", "text"), [("password", "1234"), ("password", ""), ("username", "avocet"), ("role", "owner")]
)
def test_what_cannot_be_is_said_beside_its_field(office, field, text):
    answer = office.post(reverse("people:people"), sent(**{"password": "slack water 9", field: text}))
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]


def test_the_list_asks_as_often_for_many_as_for_few(office, fret_bench, django_assert_num_queries):
    office.get(reverse("people:people"))
    for number in range(20):
        made = Person.objects.create_user(f"hand-{number}")
        made.qualifications.create(station=fret_bench, weekly_hours=number)
    with django_assert_num_queries(5):
        office.get(reverse("people:people"))


def test_only_the_manager_has_the_place(office, client_of, bench):
    link = f'href="{reverse("people:people")}"'
    assert link in office.get(reverse("orders:list")).content.decode()
    assert link not in client_of(bench).get(reverse("orders:list")).content.decode()
