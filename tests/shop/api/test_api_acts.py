"""Acts on a task through the API: each press counts once, what comes too late learns what the task is now."""

from __future__ import annotations

from uuid import UUID, uuid4

import pytest

from routing.models import Task, TaskEvent
from shop.people.models import Press
from tests.routing.made import JUDGED, TWO_MEET, build, person, task
from tests.shop.api.orders_made import path_of


@pytest.fixture
def made(manager):
    return build(manager, *TWO_MEET)


@pytest.fixture
def luthier(db):
    return person("plover", stations=("fret-bench",))


@pytest.fixture
def client(api_of, luthier):
    return api_of(luthier)


def test_a_task_goes_its_way(made, client, luthier):
    started = client.press(path_of(made, 0, "start"))
    assert (started.status_code, started.json()["state"], started.json()["person"]) == (200, "on the bench", "plover")
    assert client.press(path_of(made, 0, "pause")).json()["state"] == "ready"
    client.press(path_of(made, 0, "start"))
    done = client.press(path_of(made, 0, "done"), {"readings": {"fret height 1.2 mm": 1.21}, "note": "even"})
    assert done.json()["state"] == "done"
    event = task(made, 0).events.last()
    assert (event.kind, event.readings, event.note) == ("done", {"fret height 1.2 mm": 1.21}, "even")
    assert client.press(path_of(made, 0, "undo")).json()["state"] == "on the bench"
    client.press(path_of(made, 0, "done"))
    assert client.press(path_of(made, 0, "reopen"), {"reason": "one fret lifts"}).json()["state"] == "ready"


def test_a_hold_and_its_end(made, client):
    assert client.press(path_of(made, 0, "hold"), {"reason": "wire missing"}).json()["state"] == "held"
    shown = client.get(path_of(made, 0)).json()
    assert [(hold["reason"], hold["placed_by"]) for hold in shown["holds"]] == [("wire missing", "plover")]
    assert [event["kind"] for event in shown["events"]] == ["held"]
    assert client.press(path_of(made, 0, "lift")).json()["state"] == "ready"
    assert client.get(path_of(made, 0)).json()["holds"] == []


def test_the_same_token_gets_the_first_answer_and_writes_nothing(made, client):
    token = uuid4()
    first = client.press(path_of(made, 0, "start"), token=token)
    client.press(path_of(made, 0, "pause"))
    events = TaskEvent.objects.count()
    again = client.press(path_of(made, 0, "start"), token=token)
    assert (again.status_code, again.json()) == (200, first.json())
    assert (task(made, 0).state, TaskEvent.objects.count()) == ("ready", events)


def test_another_token_on_a_decided_thing_gets_the_fresh_row(made, client, problems_of):
    client.press(path_of(made, 0, "start"))
    late = client.press(path_of(made, 0, "start"))
    assert problems_of(late, 409) == [("request", "wrong-state")]
    assert late.json()["task"] == {key: value for key, value in client.get(path_of(made, 0)).json().items()
                                   if key not in ("holds", "events")}  # fmt: skip
    assert late.json()["task"]["state"] == "on the bench"
    assert Press.objects.count() == 1


def test_a_refused_press_may_be_sent_again_with_its_token(made, client):
    token = uuid4()
    assert client.press(path_of(made, 0, "pause"), token=token).status_code == 409
    client.press(path_of(made, 0, "start"))
    assert client.press(path_of(made, 0, "pause"), token=token).status_code == 200


def test_a_token_belongs_to_one_person_and_one_act(made, client, api_of, manager, problems_of):
    token = uuid4()
    client.press(path_of(made, 0, "start"), token=token)
    assert problems_of(client.press(path_of(made, 0, "pause"), token=token), 409) == [("Press-Token", "used")]
    other = api_of(manager).press(path_of(made, 0, "start"), token=token)
    assert problems_of(other, 409) == [("Press-Token", "used")]
    assert task(made, 0).state == "on the bench"


@pytest.mark.parametrize("headers", [{}, {"Press-Token": "again"}])
def test_a_press_without_its_token(headers, made, client, problems_of):
    response = client.post(path_of(made, 0, "start"), headers=headers)
    assert problems_of(response, 400) == [("Press-Token", "missing")]
    assert task(made, 0).state == "ready"


def test_unqualified_hands_are_refused_and_nothing_is_kept(made, api_of, bench, problems_of):
    response = api_of(bench).press(path_of(made, 0, "start"))
    assert problems_of(response, 403) == [("request", "not-allowed")]
    assert (task(made, 0).state, Press.objects.count(), TaskEvent.objects.count()) == ("ready", 0, 0)


def test_a_hold_point_is_signed_by_other_eyes(api_of, manager, problems_of):
    judged = build(manager, *JUDGED)
    hands = api_of(person("knot", stations=("neck-bench", "inspection")))
    hands.press(path_of(judged, 0, "start"))
    hands.press(path_of(judged, 0, "done"))
    assert problems_of(hands.press(path_of(judged, 1, "start")), 403) == [("request", "not-allowed")]


@pytest.mark.parametrize(
    ("act", "body", "expected"),
    [
        ("hold", {}, [("reason", "required")]),
        ("hold", {"reason": "  "}, [("reason", "blank")]),
        ("hold", {"reason": "a\x00b"}, [("reason", "null-characters-not-allowed")]),
        ("reopen", {"why": "crack"}, [("reason", "required"), ("why", "unknown-key")]),
        ("start", {"force": True}, [("force", "unknown-key")]),
        ("done", {"note": "n" * 301}, [("note", "max-length")]),
        ("done", {"readings": {"height": "1.2"}}, [("readings.height", "invalid")]),
        ("done", {"readings": {"height": "nan"}}, [("readings.height", "invalid")]),
        ("done", {"readings": {"height": 1e9}}, [("readings.height", "max-value")]),
        ("done", {"readings": {"a\x00": 1}}, [("readings", "label")]),
        ("done", {"readings": dict.fromkeys("abcdefghijklmnopqrstu", 1)}, [("readings", "count")]),
    ],
)  # fmt: skip
def test_every_problem_of_a_body(act, body, expected, made, client, problems_of):
    before = Task.objects.filter(build=made).values_list("state", flat=True)
    states = list(before)
    assert problems_of(client.press(path_of(made, 0, act), body), 400) == expected
    assert list(before.all()) == states


def test_broken_json_rolls_the_press_back(made, client, problems_of):
    headers = {"Press-Token": str(UUID(int=1))}
    response = client.post(path_of(made, 0, "hold"), '{"reason"', content_type="application/json", headers=headers)
    assert problems_of(response, 400) == [("document", "not-json")]
    assert not Press.objects.exists()


@pytest.mark.parametrize("act", ["start", "pause", "done", "lift", "undo"])
def test_an_act_on_a_task_that_is_not_there(act, client, problems_of):
    assert problems_of(client.press(f"/api/tasks/9999/{act}/"), 404) == [("request", "not-found")]
