"""Batches in the API: listed in pages, one with its instruments; builds and tasks say what they belong to."""

from __future__ import annotations

import pytest
from rest_framework.authtoken.models import Token
from rest_framework.test import APIClient

from routing.batches import DISPOSITION
from tests.shop.batches.made import ordered, paid, sampled, work_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def api(manager):
    client = APIClient(SERVER_NAME="localhost")
    client.credentials(HTTP_AUTHORIZATION=f"Token {Token.objects.get_or_create(user=manager)[0].key}")
    return client


def test_batches_are_listed_newest_first_in_pages(api, batch, pattern, manager, sales, django_assert_max_num_queries):
    paid(pattern, sales)
    for _ in range(4):
        ordered(pattern, manager, pieces=1, left_pieces=0)
    with django_assert_max_num_queries(5):
        said = api.get("/api/batches/?page_size=5").json()
    assert [one["number"] for one in said["results"]] == [f"B26-000{place}" for place in (5, 4, 3, 2, 1)]
    first = said["results"][-1]
    assert {name: first[name] for name in ("pieces", "left_pieces", "received", "outcome", "alive", "reserved")} == {
        "pieces": 3, "left_pieces": 1, "received": None, "outcome": "", "alive": 3, "reserved": 1,
    }  # fmt: skip


def test_one_batch_comes_with_its_builds(api, batch, pattern, sales):
    order = paid(pattern, sales)
    said = api.get("/api/batches/B26-0001/").json()
    assert [(one["serial"], one["kind"], one["order"]) for one in said["builds"]] == [
        ("B26-0001", "batch", None), ("S26-0001", "instrument", None), ("S26-0002", "instrument", order.number),
        ("S26-0003", "instrument", None),
    ]  # fmt: skip
    assert api.get("/api/batches/B26-0009/").status_code == 404


def test_a_build_and_its_tasks_say_what_of_the_batch_they_wait_for(api, batch):
    said = api.get("/api/builds/S26-0001/").json()
    assert (said["kind"], said["batch"]) == ("instrument", "B26-0001")
    assert {task["operation"]: task["beyond"] for task in said["tasks"] if task["beyond"]} == {
        "Batch receiving and count": ["Transit and customs entry"],
        "Series unboxing and first look": [DISPOSITION.name],
    }


def test_a_disposition_is_not_pressed_done_in_the_api(api, batch, manager):
    sampled(batch, manager)
    task = work_task(batch, DISPOSITION.name)
    answer = api.post(
        f"/api/tasks/{task.pk}/done/", {}, format="json", HTTP_PRESS_TOKEN="6b7c8a4e-6a2f-4c57-9d60-0d4c8a1b2c3d"
    )
    assert answer.status_code == 409
    assert "own page" in answer.json()["problems"][0]["message"]
