"""A plank weighed at the bench weighs in every answer of its order: rules, forecast, headlines, page and API."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from routing.measured import RECORDED, weighed_planks
from routing.models import TaskState
from routing.services import start_task
from shop.floor.services import done
from shop.orders.checking import checked_release
from shop.orders.queries import check_order, facts_of, one_order
from shop.orders.services import keep_draft, revise_spec
from shop.papers.services import release_order
from specs.wood.mass import forecast
from specs.wood.planks import Plank

pytestmark = pytest.mark.django_db

BODY_KG_M3 = 640.0


@pytest.fixture
def weighed(ready, manager):
    """An order released with a ceiling its species keeps, whose body plank turns out heavy at the bench."""
    now = timezone.now()
    order = ready(change=lambda document: document["body"].update(weight_ceiling_kg=4.4))
    release_order(order=order, person=manager, now=now)
    task = order.build.tasks.get(operation=RECORDED.name)
    order.build.tasks.filter(pk=task.pk).update(state=TaskState.READY, ready_at=now)
    start_task(task_id=task.pk, person=manager, now=now)
    done(task_id=task.pk, person=manager, now=now + timedelta(hours=1), readings={"density body": BODY_KG_M3})
    return one_order(order.number)


def released(order):
    return checked_release(order.spec, facts_of(order), None)


def rules(checked):
    return {finding.rule for finding in checked.findings}


def revised(order, manager, **body):
    order = revise_spec(order=order, person=manager, now=timezone.now() + timedelta(hours=2))
    entered = {**order.spec.entered, "body": {**order.spec.entered["body"], **body}}
    version, now = order.spec.entered_version, timezone.now() + timedelta(hours=2)
    return one_order(keep_draft(order=order, entered=entered, version=version, person=manager, now=now).number)


def test_a_released_order_is_forecast_by_its_own_plank(weighed):
    checked = released(weighed)
    assert facts_of(weighed).planks == (Plank("body", "alder", BODY_KG_M3),)
    assert checked.weight == forecast(checked.derived, {"body": BODY_KG_M3}) != forecast(checked.derived)
    assert checked.weight.usual_kg > 4.4 + 0.1
    assert "over-weight-ceiling" in rules(checked)
    assert "over-weight-ceiling" not in {one["rule"] for one in weighed.spec.answer["findings"]}


def test_its_pages_and_the_api_say_so(weighed, client_of, sales):
    client = client_of(sales)
    page = client.get(reverse("orders:page", args=[weighed.number])).content.decode()
    for said in (
        "planks weighed:",
        "Against the ceiling",
        "over its ceiling",
        f"{released(weighed).weight.usual_kg:.1f} kg",
    ):
        assert said in page
    groups = client.get(f"/api/orders/{weighed.number}/numbers/").json()["groups"]
    (mass,) = [group for group in groups if group["key"] == "mass"]
    (usual,) = [figure["value"] for figure in mass["figures"] if figure["key"] == "usual_kg"]
    assert usual == released(weighed).weight.usual_kg


def test_a_revision_of_the_same_wood_keeps_its_plank(weighed, manager):
    order = revised(weighed, manager, pieces=3)
    assert check_order(order, now=timezone.now()).weight.weighed == ("body",)


def test_a_revision_of_another_wood_waits_for_its_own_plank(weighed, manager):
    order = revised(weighed, manager, wood="ash")
    assert weighed_planks(order.build) == (Plank("body", "alder", BODY_KG_M3),)
    assert check_order(order, now=timezone.now()).weight.weighed == ()


def test_a_build_without_readings_has_no_planks(ready, django_assert_num_queries):
    order = ready()
    with django_assert_num_queries(1):
        assert weighed_planks(order.build) == ()
    assert weighed_planks(None) == ()
