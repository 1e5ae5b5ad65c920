"""Trial plans by the manager's buttons: asked for, looked at, kept, dropped, refused; the rush tag put and lifted."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from routing import jobs
from routing.models import Holiday, RushTag, Trial
from routing.trials import TrialState
from tests.routing.planning.planned_shop import build, crew, run
from tests.shop.api.orders_made import order

pytestmark = pytest.mark.django_db
PAGE = "/backlog/trials/"


@pytest.fixture
def client(client_of, manager):
    return client_of(manager)


@pytest.fixture
def shop(db):
    """Three released instruments for one pair of hands, promised one after another."""
    today, hands = timezone.localdate(), crew(1)
    builds = [build(hands[0], f"C26-000{at}", promise=today + timedelta(days=60 + 20 * at)) for at in range(1, 4)]
    type(builds[0]).objects.update(released_at=timezone.now())
    run()
    return builds


def press(client, name: str, *args, **given):
    return client.post(reverse(f"backlog:{name}", args=args), given | {"press": str(uuid4())})


def ahead(days: int) -> str:
    return (timezone.localdate() + timedelta(days=days)).isoformat()


def worked_out(client, kind: str, **given) -> Trial:
    fields = {f"{kind}-{name}": value for name, value in given.items()}
    assert press(client, "trial-ask", kind, **fields).status_code == 302
    trial = Trial.objects.first()
    jobs.run(trial.job_id)
    return Trial.objects.get(pk=trial.pk)


def test_an_empty_page_says_where_to_begin(client):
    page = client.get(PAGE).content.decode()
    assert "Nothing was tried yet" in page
    assert "No instrument has it" in page


def test_a_closed_fortnight_is_tried_looked_at_and_kept(client, shop):
    trial = worked_out(client, "closed", first=ahead(7), last=ahead(20))
    assert trial.state == TrialState.READY
    page = client.get(reverse("backlog:trial", args=[trial.pk])).content.decode()
    assert "C26-0001" in page
    assert "+" in page
    assert press(client, "trial-keep", trial.pk).status_code == 302
    assert Holiday.objects.filter(name="Shop closed").count() >= 9
    assert press(client, "trial-drop", trial.pk).status_code == 409


def test_what_cannot_be_tried_is_refused_beside_its_field(client, shop):
    answer = press(client, "trial-ask", "closed", **{"closed-first": ahead(-3), "closed-last": ahead(5)})
    assert answer.status_code == 422
    assert not Trial.objects.exists()
    assert press(client, "trial-ask", "rush", **{"rush-build": "C99-0001"}).status_code == 422
    assert press(client, "trial-ask", "magic").status_code == 404


def test_the_rush_tag_is_put_after_its_trial_and_lifted(client, shop):
    trial = worked_out(client, "rush", build="C26-0003")
    assert press(client, "trial-rush", trial.pk, reason="tour", fee="", initials="AV").status_code == 422
    assert press(client, "trial-rush", trial.pk, reason="tour", fee="20 %", initials="AV").status_code == 302
    assert "C26-0003 goes before all others" in client.get(PAGE).content.decode()
    tag = RushTag.objects.get()
    assert press(client, "rush-lift", tag.pk, reason="played").status_code == 302
    assert press(client, "rush-lift", tag.pk, reason="played").status_code == 409


def test_the_rush_tag_stands_in_the_history_of_its_order_and_on_its_page(client, manager, shop):
    made = order(manager, 9)
    type(made).objects.filter(pk=made.pk).update(build=shop[2])
    page = reverse("orders:page", args=[made.number])
    trial = worked_out(client, "rush", build="C26-0003")
    press(client, "trial-rush", trial.pk, reason="tour", fee="20 %", initials="AV")
    delayed = sum(move[4] > 0 for move in trial.result["moves"])
    shown = client.get(page).content.decode()
    assert f"rush tag put: tour; fee 20 %; delays {delayed} others" in shown
    assert "goes before all others" in shown
    press(client, "rush-lift", RushTag.objects.get().pk, reason="played")
    shown = client.get(page).content.decode()
    assert "rush tag lifted played" in shown
    assert "goes before all others" not in shown


def test_more_trials_need_no_more_queries(client, shop, manager, queries_of):
    worked_out(client, "closed", first=ahead(7), last=ahead(8))
    before = queries_of(client, PAGE)
    for _at in range(4):
        Trial.objects.create(changes=[{"kind": "closed"}], asked_by=manager, asked_at=timezone.now())
    assert queries_of(client, PAGE) == before
